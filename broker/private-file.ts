import { randomUUID } from 'node:crypto';
import { mkdir, open, rename, rm } from 'node:fs/promises';
import { dirname } from 'node:path';

/** Read and written by the owner alone. */
const PRIVATE_FILE = 0o600;
const PRIVATE_FOLDER = 0o700;

/**
 * Writes a file that only its owner may read, wholly or not at all: temporary file, fsync, rename, fsync of the folder.
 * Folders that are missing are made, as private as the file.
 */
export async function writePrivateFile(path: string, text: string): Promise<void> {
  const folder = dirname(path);
  await mkdir(folder, { recursive: true, mode: PRIVATE_FOLDER });
  const temporary = `${path}.${randomUUID()}.tmp`;
  try {
    const file = await open(temporary, 'wx', PRIVATE_FILE);
    try {
      await file.writeFile(text);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
  await syncFolder(folder);
}

/** Without it the rename itself may be forgotten when the power fails. */
async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
