import { readFile } from 'node:fs/promises';
import { parseServiceEntry } from '../contract/parse-service-entry.js';
import type { ServiceEntry } from '../contract/service-entry.js';
import { applyCorrections } from '../contract/service-entry-corrections.js';
import { TakelineFault } from '../process/fault.js';
import { sayWhy } from '../process/say-why.js';
import type { Site } from '../site/site.js';

/** A service entry and the line of the file that it stands on, the first being 1. */
export interface EntryOnLine {
  readonly line: number;
  readonly entry: ServiceEntry;
}

/**
 * Reads the service entries beside a recording (contracts §2): JSON lines in any order, blank ones passed over.
 *
 * @param path - the file
 * @param site - what the entries may name
 * @returns the entries in order of lines, corrections among them and all sure to apply
 * @throws TakelineFault `service-entries-unreadable` or `service-entry-refused`, the latter with file and line: not JSON, an
 *   unknown kind or field, something that does not exist, a correction that does not apply
 */
export async function readServiceEntries(path: string, site: Site): Promise<readonly EntryOnLine[]> {
  const text = await readText(path);
  const found = text
    .replace(/^\ufeff/, '')
    .split('\n')
    .map((json, index) => ({ json: json.trim(), line: index + 1 }))
    .filter(({ json }) => json !== '')
    .map(({ json, line }) => ({ line, entry: readLine(json, site, path, line) }));
  const entries = found.map(({ entry }) => entry);
  const [refused] = applyCorrections(entries, site).refused;
  if (refused !== undefined) {
    const line = found.findLast(({ entry }) => entry === refused.entry)?.line ?? 0;
    throw refusal(path, line, refused.message);
  }
  return found;
}

function readLine(json: string, site: Site, path: string, line: number): ServiceEntry {
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch {
    throw refusal(path, line, 'this is not JSON; a service entry is one JSON object on one line');
  }
  const parsed = parseServiceEntry(value, site);
  if (!parsed.ok) throw refusal(path, line, parsed.message);
  return parsed.entry;
}

async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new TakelineFault(
      'service-entries-unreadable',
      `${path}: the service entries cannot be read (${sayWhy(error)}); check the name and its permissions`,
    );
  }
}

function refusal(path: string, line: number, message: string): TakelineFault {
  return new TakelineFault('service-entry-refused', `${path}:${line}: ${message}`);
}
