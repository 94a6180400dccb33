import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { TakelineFault } from '../../../agent/process/fault.js';
import { readIfThere, writePrivately } from '../../../agent/process/private-file.js';

const KEY_BYTES = 32;

/**
 * The key that session cookies are sealed with, made at the first start and kept in `<data>/secrets/web-session.key`.
 *
 * @throws TakelineFault `session-key-damaged` where the file holds something else
 */
export async function sessionKey(dataDir: string): Promise<Buffer> {
  const path = join(dataDir, 'secrets', 'web-session.key');
  const kept = await readIfThere(path);
  if (kept === undefined) {
    const key = randomBytes(KEY_BYTES);
    await writePrivately(path, key);
    return key;
  }
  if (kept.length !== KEY_BYTES) {
    throw new TakelineFault('session-key-damaged', `${path} is damaged: delete it, and everybody signs in anew.`);
  }
  return kept;
}
