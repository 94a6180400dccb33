import { statfsSync } from 'node:fs';

/** So much of a disk is left to whoever else writes to it: the live agent's history most of all. */
const LEFT_FREE_BYTES = 512 * 1024 ** 2;

/** Tells how many bytes are free on the disk that a path is on. */
export type FreeBytes = (path: string) => number;

/** @param path - a file or folder that is there; where the system does not tell, Infinity */
export const freeBytesAt: FreeBytes = (path) => {
  try {
    const { bavail, bsize } = statfsSync(path);
    return bavail * bsize;
  } catch {
    return Infinity;
  }
};

/** Whether what is written only for a while may go on to fill the disk that a path is on. */
export function hasRoom(path: string, free: FreeBytes = freeBytesAt): boolean {
  return free(path) > LEFT_FREE_BYTES;
}
