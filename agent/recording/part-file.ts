import { open, rename, rm } from 'node:fs/promises';
import { dirname } from 'node:path';

/** The name a file has while it is being written; one left over from a crash is overwritten the next time. */
export function partPath(path: string): string {
  return `${path}.part`;
}

/** Makes a part file durable and gives it its name, so that a file of that name is always whole. */
export async function finishPart(path: string): Promise<void> {
  await sync(partPath(path), 'r+');
  await rename(partPath(path), path);
  // The new name is durable once its folder is; Windows cannot open a folder and does not need to.
  if (process.platform !== 'win32') await sync(dirname(path), 'r');
}

/** Removes a part file, where there is one. */
export async function removePart(path: string): Promise<void> {
  await rm(partPath(path), { force: true });
}

async function sync(path: string, flags: string): Promise<void> {
  const handle = await open(path, flags);
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
