import { createHash } from 'node:crypto';
import { readFile, realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { writeWhole } from '../process/write-whole.js';
import { deepFreeze } from '../site/deep-freeze.js';
import { readSite } from '../site/read-site.js';
import { readSiteText } from '../site/read-site-file.js';
import type { Site } from '../site/site.js';
import type { CommandIo } from './command.js';
import { siteOrTell } from './options.js';

/** What was read of the site file last, in the data folder: a key, the checksum of what follows, and the site. */
const FILE = 'site-read.json';
/** The folder of the packed program. */
const PACKED = 'takeline';

/** A site, and how to have it at hand at the next start. */
export interface SiteAtStart {
  readonly site: Site;
  readonly text: string;
  readonly remember: () => Promise<void>;
}

/**
 * Reads a site file for a start, unless it was read before: of hundreds of take-ups a site file takes a second to read, and at most starts
 * it is the same. Its faults are told. @returns undefined where it has any
 */
export async function siteAtStart(path: string, dataDir: string, io: CommandIo): Promise<SiteAtStart | undefined> {
  const [stamp, text] = await Promise.all([programStamp(), readSiteText(path)]);
  const known = stamp === undefined ? undefined : await rememberedSite(dataDir, text, stamp);
  if (known !== undefined) return { site: known, text, remember: () => Promise.resolve() };
  const site = siteOrTell(readSite(text, path), io);
  if (site === undefined) return undefined;
  return { site, text, remember: () => (stamp === undefined ? Promise.resolve() : rememberSite(dataDir, text, stamp, site)) };
}

/** What this program is; undefined where it runs from its single files, as while it is worked on: then no one of them says what the others are. */
async function programStamp(): Promise<string | undefined> {
  const main = await realpath(process.argv[1] ?? '').catch(() => '');
  // Packed, its first file calls the others by names that bear the checksums of what is in them.
  return basename(dirname(main)) === PACKED ? hashOf(await readFile(main)) : undefined;
}

/**
 * The site as it was read before.
 * @param text - of the site file as it is now
 * @param stamp - of the program; another one may read the same text otherwise
 * @returns undefined where it has to be read anew
 */
export async function rememberedSite(dataDir: string, text: string, stamp: string): Promise<Site | undefined> {
  const kept = await readFile(join(dataDir, FILE), 'utf8').catch(() => '');
  const [key, checksum, body = ''] = kept.split('\n', 3);
  if (key !== keyOf(text, stamp) || checksum !== hashOf(body)) return undefined;
  return deepFreeze(JSON.parse(body) as Site);
}

/** Keeps what was read for the next start. Where it cannot be kept, the next start reads the site file again: nothing is lost. */
export async function rememberSite(dataDir: string, text: string, stamp: string, site: Site): Promise<void> {
  const body = JSON.stringify(site);
  await writeWhole(join(dataDir, FILE), `${keyOf(text, stamp)}\n${hashOf(body)}\n${body}`, 0o600).catch(() => undefined);
}

function keyOf(text: string, stamp: string): string {
  return hashOf(`${stamp}\n${text}`);
}

function hashOf(content: string | Buffer): string {
  return createHash('sha256').update(content).digest('hex');
}
