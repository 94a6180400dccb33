import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll } from 'vitest';

/** A folder for the files of one test file, gone when its tests are over. Gives the path of a file in it. */
export function scratchFolder(): (name: string) => string {
  let folder = '';
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'takeline-recording-'));
  });
  afterAll(async () => {
    await rm(folder, { recursive: true, force: true });
  });
  return (name) => join(folder, name);
}
