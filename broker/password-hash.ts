import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto';

/** A password as it is kept: it can be checked, not read. RFC 7914 names the parameters. */
export interface PasswordHash {
  readonly salt: Buffer;
  readonly hash: Buffer;
  /** N, r and p. */
  readonly cost: number;
  readonly blockSize: number;
  readonly parallelization: number;
}

const SALT_BYTES = 16;
const HASH_BYTES = 32;
/** 16 MiB and about 50 ms a try: RFC 7914 §2 for interactive sign-in. */
const COST = { cost: 16_384, blockSize: 8, parallelization: 1 } as const;

/** A new random password: 192 bits in letters that need no quoting anywhere. */
export function makePassword(): string {
  return randomBytes(24).toString('base64url');
}

/** Hashes a password with a salt of its own. */
export async function hashPassword(password: string): Promise<PasswordHash> {
  const salt = randomBytes(SALT_BYTES);
  return { ...COST, salt, hash: await derive(password, { ...COST, salt }) };
}

/** Whether a password is the one that was hashed. */
export async function isPassword(password: string | Buffer, kept: PasswordHash): Promise<boolean> {
  return timingSafeEqual(await derive(password, kept), kept.hash);
}

/** A hash as text for a file. */
export function formatPasswordHash({ cost, blockSize, parallelization, salt, hash }: PasswordHash): string {
  return ['scrypt', cost, blockSize, parallelization, salt.toString('base64'), hash.toString('base64')].join('$');
}

/** The hash that a text of `formatPasswordHash` stands for, or undefined. */
export function parsePasswordHash(text: string): PasswordHash | undefined {
  const found = /^scrypt\$(\d{1,7})\$(\d{1,2})\$(\d{1,2})\$([\w+/]+=*)\$([\w+/]+=*)$/.exec(text);
  if (!found) return undefined;
  const [, cost, blockSize, parallelization, salt = '', hash = ''] = found;
  const kept: PasswordHash = {
    cost: Number(cost),
    blockSize: Number(blockSize),
    parallelization: Number(parallelization),
    salt: Buffer.from(salt, 'base64'),
    hash: Buffer.from(hash, 'base64'),
  };
  const isPowerOfTwo = kept.cost > 1 && (kept.cost & (kept.cost - 1)) === 0;
  const isSound = isPowerOfTwo && kept.blockSize > 0 && kept.parallelization > 0;
  return isSound && kept.salt.length === SALT_BYTES && kept.hash.length === HASH_BYTES ? kept : undefined;
}

function derive(password: string | Buffer, { salt, cost, blockSize, parallelization }: Omit<PasswordHash, 'hash'>): Promise<Buffer> {
  const options = { cost, blockSize, parallelization, maxmem: 256 * cost * blockSize };
  return new Promise((resolve, reject) => {
    scrypt(password, salt, HASH_BYTES, options, (error, key) => {
      if (error) reject(error);
      else resolve(key);
    });
  });
}
