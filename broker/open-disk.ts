import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { ClassicLevel } from 'classic-level';
import { TakelineFault } from '../agent/process/fault.js';
import { WriteBehindDisk } from './write-behind-disk.js';

/** Counts the starts of the broker. */
const STARTS = 'takeline-starts';
/** As many digits as a number of starts can have, so that names sort as the numbers do. */
const DIGITS = 12;

/** The disk of the session store, opened. */
export interface OpenedDisk {
  readonly disk: WriteBehindDisk;
  /**
   * A name for this start that sorts after those of all starts before: queued messages are kept in the order of this name and
   * their number since, and so come in the order in which they were sent.
   */
  readonly startName: string;
}

/**
 * Opens the database of sessions and retained messages in `<dataDir>/broker`.
 *
 * @throws TakelineFault where another broker uses it, it is damaged or cannot be opened
 */
export async function openDisk(dataDir: string, onFailure: (error: unknown) => void): Promise<OpenedDisk> {
  const folder = join(dataDir, 'broker');
  const database = new ClassicLevel<string, Buffer>(folder, { valueEncoding: 'buffer' });
  try {
    await mkdir(folder, { recursive: true, mode: 0o700 });
    await database.open();
    const starts = Number((await database.get(STARTS))?.toString() ?? 0) + 1;
    await database.put(STARTS, Buffer.from(String(starts)), { sync: true });
    return { disk: new WriteBehindDisk(database, onFailure), startName: `start-${String(starts).padStart(DIGITS, '0')}` };
  } catch (error) {
    await database.close();
    throw diskFault(folder, error);
  }
}

function diskFault(folder: string, error: unknown): TakelineFault {
  const cause = error instanceof Error && error.cause instanceof Error ? error.cause : error;
  const code = cause instanceof Error && 'code' in cause ? cause.code : undefined;
  if (code === 'LEVEL_LOCKED') {
    return new TakelineFault(
      'broker-data-in-use',
      `${folder} is in use by another takeline. Stop that one, or give this one a data folder of its own.`,
    );
  }
  if (code === 'LEVEL_CORRUPTION') {
    return new TakelineFault(
      'broker-data-damaged',
      `${folder} is damaged. Move it away and start again: retained messages come back as they are published anew; messages that waited for absent clients are lost.`,
    );
  }
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new TakelineFault('broker-data-folder', `Cannot open ${folder}: ${reason}.`);
}
