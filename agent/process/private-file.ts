import { randomUUID } from 'node:crypto';
import { mkdir, open, readFile, rename, rm } from 'node:fs/promises';
import { dirname } from 'node:path';
import { TakelineFault } from './fault.js';

const ONLY_OWNER = 0o600;
const ONLY_OWNER_FOLDER = 0o700;

/**
 * Writes a file that only its owner may read: beside it first, on the disk for certain, then in its place, so that
 * a power cut leaves the old one or the new one.
 *
 * @throws TakelineFault `data-unwritable` naming the path
 */
export async function writePrivately(path: string, content: string | Uint8Array): Promise<void> {
  const folder = dirname(path);
  const draft = `${path}.${randomUUID()}.tmp`;
  try {
    await mkdir(folder, { recursive: true, mode: ONLY_OWNER_FOLDER });
    await writeThrough(draft, content);
    await rename(draft, path);
    await syncFolder(folder);
  } catch (error) {
    await rm(draft, { force: true });
    throw new TakelineFault(
      'data-unwritable',
      `${path} cannot be written (${codeOf(error)}): see that the data folder can be written by this user.`,
    );
  }
}

async function writeThrough(path: string, content: string | Uint8Array): Promise<void> {
  const file = await open(path, 'wx', ONLY_OWNER);
  try {
    await file.writeFile(content);
    await file.sync();
  } finally {
    await file.close();
  }
}

/** Without it the rename itself may be forgotten when the power fails. */
async function syncFolder(path: string): Promise<void> {
  const folder = await open(path, 'r');
  try {
    await folder.sync();
  } finally {
    await folder.close();
  }
}

/**
 * @returns the content, or undefined where there is no such file
 * @throws TakelineFault `data-unreadable` naming the path
 */
export async function readIfThere(path: string): Promise<Buffer | undefined> {
  try {
    return await readFile(path);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined;
    throw new TakelineFault('data-unreadable', `${path} cannot be read (${codeOf(error)}): see that it belongs to the user who runs this.`);
  }
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : String(error);
}
