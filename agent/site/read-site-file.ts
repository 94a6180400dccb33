import { readFile } from 'node:fs/promises';
import { TakelineFault } from '../process/fault.js';
import { readSite, type SiteReading } from './read-site.js';

/**
 * Reads a site file from the disk.
 *
 * @param path - as the person gave it
 * @throws TakelineFault `site-unreadable` where there is no such file or it cannot be opened
 */
export async function readSiteFile(path: string): Promise<SiteReading> {
  return readSite(await readSiteText(path), path);
}

/** The text of a site file, unread. @throws TakelineFault as `readSiteFile` */
export async function readSiteText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new TakelineFault('site-unreadable', `${path}: ${sayWhy(error)}`);
  }
}

function sayWhy(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  switch (code) {
    case 'ENOENT':
      return 'there is no such file; give the path of a site file';
    case 'EISDIR':
      return 'this is a folder; give the path of a site file in it';
    case 'EACCES':
    case 'EPERM':
      return 'the file may not be read by this user; change its permissions';
    default:
      return `the file cannot be read (${String(code ?? error)})`;
  }
}
