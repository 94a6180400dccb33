import { mkdir, stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';

/**
 * Makes a folder, and what is missing above it. Where the system says that a folder inside an existing one cannot be (as below /proc),
 * that is the answer: the recursive form of `mkdir` asks for ever.
 *
 * @throws the system's own error, for `sayWhy`
 */
export async function makeFolder(path: string): Promise<void> {
  const missing: string[] = [];
  let at = resolve(path);
  while (!(await isThere(at))) {
    missing.push(at);
    if (dirname(at) === at) break;
    at = dirname(at);
  }
  for (const folder of missing.reverse()) {
    try {
      await mkdir(folder);
    } catch (error) {
      // Another process may have made it meanwhile.
      if (!(await isThere(folder))) throw error;
    }
  }
}

/** Whether there is a folder. @throws the system's error where something else of that name is in the way */
async function isThere(path: string): Promise<boolean> {
  try {
    if ((await stat(path)).isDirectory()) return true;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return false;
    throw error;
  }
  throw Object.assign(new Error(`${path}: something else is in the way`), { code: 'EEXIST' });
}
