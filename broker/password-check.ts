import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Role } from '../agent/process/secrets.js';
import type { Credentials } from './credentials.js';
import { isPassword } from './password-hash.js';

/** `busy`: too many passwords are waiting to be checked; trying again later helps. */
export type PasswordVerdict = 'right' | 'wrong' | 'busy';

/** Different passwords that may wait at one time. Each takes about 50 ms of one core, and only one is worked on. */
const WAITING_AT_MOST = 64;

/**
 * Checks passwords. A hash is slow by intention, so that whoever guesses is slow: a password found right is remembered under a key
 * that dies with the process, and a thousand sensors that come back at once are checked once.
 */
export function createPasswordCheck(credentials: Credentials): (role: Role, password: Buffer) => Promise<PasswordVerdict> {
  const key = randomBytes(32);
  const right = new Map<Role, Buffer>();
  const waiting = new Map<string, Promise<PasswordVerdict>>();
  let last: Promise<unknown> = Promise.resolve();

  return (role, password) => {
    const mark = createHmac('sha256', key).update(password).digest();
    const known = right.get(role);
    if (known && timingSafeEqual(known, mark)) return Promise.resolve('right');
    const name = `${role} ${mark.toString('base64')}`;
    const already = waiting.get(name);
    if (already) return already;
    if (waiting.size >= WAITING_AT_MOST) return Promise.resolve('busy');
    const verdict = last
      .then(() => isPassword(password, credentials[role]))
      .then((isRight): PasswordVerdict => {
        if (isRight) right.set(role, mark);
        return isRight ? 'right' : 'wrong';
      })
      .finally(() => waiting.delete(name));
    waiting.set(name, verdict);
    last = verdict.catch(() => undefined);
    return verdict;
  };
}
