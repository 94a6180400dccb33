import { readFile } from 'node:fs/promises';
import { isAbsolute, join } from 'node:path';
import type { PagePost } from './page-letter.js';
import { Smtp } from './smtp.js';
import { Webhook } from './webhook.js';
import type { Clock } from '../process/clock.js';
import { TakelineFault } from '../process/fault.js';
import type { MailServer, Paging, Webhook as WebhookOfSite } from '../site/site.js';

/** The channels that a site has, each with its secret from a file or the environment. */
export interface PagePosts {
  readonly email?: PagePost;
  readonly webhook?: PagePost;
}

export function pagePosts(paging: Paging | undefined, dataDir: string, clock: Clock): PagePosts {
  return {
    ...(paging?.smtp && { email: new Smtp(smtpSettings(paging.smtp, dataDir)) }),
    ...(paging?.webhook && { webhook: new Webhook(webhookSettings(paging.webhook, dataDir, clock)) }),
  };
}

function smtpSettings({ host, port, security, user, passwordFile, caFile, from }: MailServer, dataDir: string) {
  return {
    ...{ host, port, security, from },
    ...(user === undefined ? {} : { user }),
    password: () => secretOf('TAKELINE_SMTP_PASSWORD', passwordFile, dataDir, 'password_file'),
    ca: () => (caFile === undefined ? Promise.resolve(undefined) : textOf(caFile, dataDir, 'ca_file')),
  };
}

function webhookSettings({ url, secretFile }: WebhookOfSite, dataDir: string, clock: Clock) {
  return {
    url,
    secret: () => secretOf('TAKELINE_WEBHOOK_SECRET', secretFile, dataDir, 'secret_file'),
    nowMs: () => clock.nowMs(),
  };
}

async function secretOf(variable: string, file: string | undefined, dataDir: string, key: string): Promise<string> {
  const given = process.env[variable];
  if (given !== undefined && given !== '') return given;
  if (file === undefined) throw new TakelineFault('page-secret', `neither ${key} nor ${variable} is given: nothing can be sent without it`);
  const secret = (await textOf(file, dataDir, key)).trim();
  if (secret === '') throw new TakelineFault('page-secret', `${file} of ${key} is empty: put the secret into it`);
  return secret;
}

async function textOf(file: string, dataDir: string, key: string): Promise<string> {
  const path = isAbsolute(file) ? file : join(dataDir, file);
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    const why = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new TakelineFault('page-secret', `${path} of ${key} cannot be read (${why}): make it, readable by the user takeline runs as`);
  }
}
