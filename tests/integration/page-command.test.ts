import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { pageCommand } from '../../agent/commands/page.js';
import { goodSite } from '../site/fixture-files.js';
import { Gateway, headerOf, MailServer } from './mail/mail-server.js';

/** A folder with the full site, its mail and webhook on this machine, and its secrets. */
function folderFor(mailPort: number, webhookUrl: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-page-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true });
  });
  const text = goodSite('full')
    .replace('host: mail.alder-point.example', 'host: localhost')
    .replace('port: 587', `port: ${String(mailPort)}`)
    .replace('security: starttls', 'security: none')
    .replace(/ {4}user: takeline\n.*\n.*\n/u, '')
    .replace('https://gateway.alder-point.example/pages', webhookUrl)
    .replace('secrets/webhook.txt', 'webhook.txt');
  writeFileSync(join(folder, 'site.yaml'), text);
  writeFileSync(join(folder, 'webhook.txt'), 'a secret\n');
  return folder;
}

async function page(
  ...args: readonly string[]
): Promise<{ readonly code: number; readonly out: readonly string[]; readonly err: readonly string[] }> {
  const [out, err]: [string[], string[]] = [[], []];
  const code = await pageCommand.run(args, { out: (line) => out.push(line), err: (line) => err.push(line) });
  return { code, out, err };
}

it('sends a marked test through every channel of every person, and says which server took it', async () => {
  const [mail, gateway] = [await MailServer.start({ tls: 'none' }), await Gateway.start()];
  const folder = folderFor(mail.port, gateway.url);
  const { code, out, err } = await page('--test', '--site', join(folder, 'site.yaml'), '--data', folder);
  expect(err).toEqual([]);
  expect(out).toEqual([
    `Marta: mail to marta@alder-point.example by localhost:${String(mail.port)}: taken (250 taken)`,
    `Marta: webhook for +47 00 00 00 01 by ${gateway.url}: taken (HTTP 204 No Content)`,
    `Jonas: mail to jonas@alder-point.example by localhost:${String(mail.port)}: taken (250 taken)`,
    `stores: webhook for stores-room by ${gateway.url}: taken (HTTP 204 No Content)`,
  ]);
  expect(code).toBe(0);
  expect(mail.mails.map((one) => headerOf(one, 'Subject'))).toContain('[TEST] Alder Point Cookware: a test page, nothing is wrong');
});

it('says which was not taken and why, and ends with 1', async () => {
  const mail = await MailServer.start({
    tls: 'none',
    refuses: (address) => (address.startsWith('jonas') ? { code: 550, message: 'no such user' } : undefined),
  });
  const folder = folderFor(mail.port, 'http://127.0.0.1:1/');
  const { code, out, err } = await page('--test', '--site', join(folder, 'site.yaml'), '--data', folder);
  expect(code).toBe(1);
  expect(out).toHaveLength(1);
  expect(err).toContainEqual(expect.stringMatching(/^Jonas: mail .* NOT taken, refused for good: .*no such user/u));
  expect(err).toContainEqual(expect.stringMatching(/^stores: webhook .* NOT taken: fetch failed/u));
});

it('says of the demo that nothing would reach anybody', async () => {
  const { code, err } = await page('--test');
  expect(code).toBe(1);
  expect(err).toContainEqual(expect.stringMatching(/^Marta: no channel/u));
});

it('refuses what it does not know, and helps', async () => {
  expect((await page('--tset')).code).toBe(2);
  const { code, out } = await page('--help');
  expect(code).toBe(0);
  expect(out.join('\n')).toContain('takeline page --test [--site FILE] [--data DIR]');
});
