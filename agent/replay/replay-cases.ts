import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { impossibleEntries } from '../flow/ledger/impossible.js';
import type { ServiceEntry } from '../contract/service-entry.js';
import { TakelineFault } from '../process/fault.js';
import { sayWhy } from '../process/say-why.js';
import { readServiceEntries } from '../recording/service-entries.js';
import { formatFault } from '../site/format-fault.js';
import { readSiteFile } from '../site/read-site-file.js';
import type { Site } from '../site/site.js';
import { differingLines } from './differing-lines.js';
import { replay, type ReplayOptions, type ReplayResult } from './replay.js';
import { REPLAY_FILES, resultLines } from './write-replay.js';

/** A folder that holds a site, a recording, maybe service entries, and what a replay of them is expected to write. */
export interface ReplayCase {
  readonly name: string;
  readonly folder: string;
}

/** What every case has; `service.jsonl` only where something was written down. */
export const CASE_FILES = { site: 'site.yaml', recording: 'recording.csv', service: 'service.jsonl', about: 'about.md' } as const;
export const EXPECTED_FOLDER = 'expected';

/**
 * Every case below a folder, in the order of their names; or the folder itself where it is one.
 * @throws TakelineFault where there is none, or one of them lacks a file: a check of nothing proves nothing
 */
export async function findCases(root: string): Promise<readonly ReplayCase[]> {
  if (await isFile(join(root, CASE_FILES.site))) return [await wholeCase(root)];
  let names: string[];
  try {
    names = (await readdir(root, { withFileTypes: true })).filter((entry) => entry.isDirectory()).map(({ name }) => name);
  } catch (error) {
    throw new TakelineFault('cases-unreadable', `${root}: the cases cannot be read (${sayWhy(error)}); give a folder of cases`);
  }
  if (names.length === 0) throw new TakelineFault('no-case', `${root}: there is no case in it; give a folder of cases, or one case`);
  return Promise.all(names.sort().map((name) => wholeCase(join(root, name))));
}

async function wholeCase(folder: string): Promise<ReplayCase> {
  for (const name of [CASE_FILES.site, CASE_FILES.recording, CASE_FILES.about]) {
    if (!(await isFile(join(folder, name)))) {
      throw new TakelineFault('case-incomplete', `${folder}: ${name} is missing; a case has a site, a recording and about.md`);
    }
  }
  return { name: basename(folder), folder };
}

async function isFile(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isFile();
  } catch {
    return false;
  }
}

/** Runs a case. @throws TakelineFault where its site, its recording or its entries cannot be used */
export async function runCase({ folder }: ReplayCase, options: Omit<ReplayOptions, 'entries'> = {}): Promise<ReplayResult> {
  const site = await siteOf(join(folder, CASE_FILES.site));
  const service = join(folder, CASE_FILES.service);
  const entries = (await isFile(service)) ? await entriesOf(service, site) : [];
  return replay(site, join(folder, CASE_FILES.recording), { ...options, entries });
}

/** A site file. @throws TakelineFault with its first fault, and how many there are */
export async function siteOf(path: string): Promise<Site> {
  const reading = await readSiteFile(path);
  if (reading.ok) return reading.site;
  const [first, ...more] = reading.faults;
  const others = more.length === 0 ? '' : ` (and ${String(more.length)} more faults: takeline check lists them)`;
  throw new TakelineFault('site-refused', `${first === undefined ? path : formatFault(first)}${others}`);
}

/** The service entries of a file. @throws TakelineFault with file and line for one that cannot be read or cannot be true */
export async function entriesOf(path: string, site: Site): Promise<readonly ServiceEntry[]> {
  const found = await readServiceEntries(path, site);
  const entries = found.map(({ entry }) => entry);
  for (const conveyor of site.conveyors) {
    const [impossible] = impossibleEntries(conveyor, entries);
    if (impossible === undefined) continue;
    const line =
      found.find(({ entry }) => entry === impossible.entry || (entry.id !== undefined && entry.id === impossible.entry.id))?.line ?? 1;
    throw new TakelineFault('service-entry-refused', `${path}:${String(line)}: ${impossible.message}`);
  }
  return entries;
}

/** Lines by which a file of a case differs: `-` for what is expected, `+` for what is. */
export interface CaseDifference {
  readonly file: string;
  readonly lines: readonly string[];
}

/** Runs a case and compares with what is expected, byte for byte. @returns nothing where all is as expected */
export async function checkCase(one: ReplayCase): Promise<readonly CaseDifference[]> {
  const texts = resultTexts(await runCase(one));
  const differences: CaseDifference[] = [];
  for (const file of REPLAY_FILES) {
    const expected = await readFile(join(one.folder, EXPECTED_FOLDER, file), 'utf8').catch(() => undefined);
    const now = texts.get(file) ?? '';
    if (expected === now) continue;
    const lines = expected === undefined ? ['- (no expectation yet)'] : differingLines(expected, now);
    differences.push({ file, lines: lines.length > 0 ? lines : ['- (the same lines in another order)'] });
  }
  return differences;
}

/** What a replay writes, as texts by file. */
export function resultTexts(result: ReplayResult): ReadonlyMap<string, string> {
  return new Map(resultLines(result).map(([name, lines]) => [name, [...lines].map((line) => `${line}\n`).join('')]));
}
