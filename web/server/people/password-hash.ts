import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto';
import { Type, type Static } from 'typebox';

/** A password as it is kept: scrypt (RFC 7914) with its own salt and cost, so that the cost can be raised later. */
export const PASSWORD_HASH = Type.Object(
  {
    salt: Type.String({ minLength: 16 }),
    hash: Type.String({ minLength: 32 }),
    cost: Type.Integer({ minimum: 2 }),
    blockSize: Type.Integer({ minimum: 1 }),
    parallel: Type.Integer({ minimum: 1 }),
  },
  { additionalProperties: false },
);
export type PasswordHash = Static<typeof PASSWORD_HASH>;

/** One of the settings that the OWASP password storage cheat sheet gives for scrypt; about 32 MiB and a fifth of a second. */
const COST = { cost: 2 ** 15, blockSize: 8, parallel: 3 } as const;
const HASH_BYTES = 32;

export async function hashPassword(password: string): Promise<PasswordHash> {
  const salt = randomBytes(16);
  const hash = await derive(password, salt, COST);
  return { salt: salt.toString('base64'), hash: hash.toString('base64'), ...COST };
}

/** What no password is known to fit, to verify a stranger's against: that takes as long as with anybody's. */
export function hashOfNobody(): PasswordHash {
  return { salt: randomBytes(16).toString('base64'), hash: randomBytes(HASH_BYTES).toString('base64'), ...COST };
}

/** Whether a password is the one that was hashed; takes as long for a wrong one as for the right one. */
export async function verifyPassword(password: string, kept: PasswordHash): Promise<boolean> {
  const hash = Buffer.from(kept.hash, 'base64');
  const tried = await derive(password, Buffer.from(kept.salt, 'base64'), kept);
  return hash.length === tried.length && timingSafeEqual(hash, tried);
}

function derive(password: string, salt: Uint8Array, cost: Pick<PasswordHash, 'cost' | 'blockSize' | 'parallel'>): Promise<Buffer> {
  const options = { N: cost.cost, r: cost.blockSize, p: cost.parallel, maxmem: 256 * cost.cost * cost.blockSize };
  return new Promise((resolve, reject) => {
    // The same letter can be typed as different code points: RFC 8265 §4.2 makes them one by NFC.
    scrypt(password.normalize('NFC'), salt, HASH_BYTES, options, (error, key) => {
      if (error) reject(error);
      else resolve(key);
    });
  });
}
