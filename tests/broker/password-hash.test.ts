import { describe, expect, it } from 'vitest';
import { formatPasswordHash, hashPassword, isPassword, makePassword, parsePasswordHash } from '../../broker/password-hash.js';

describe('a kept password', () => {
  it('is another text each time, and checks all the same', async () => {
    const [one, two] = await Promise.all([hashPassword('secret'), hashPassword('secret')]);
    expect(formatPasswordHash(one)).not.toBe(formatPasswordHash(two));
    expect(await Promise.all([isPassword('secret', one), isPassword('secret', two), isPassword('Secret', one)])).toEqual([
      true,
      true,
      false,
    ]);
  });

  it('is read back as it was written', async () => {
    const kept = await hashPassword('secret');
    expect(parsePasswordHash(formatPasswordHash(kept))).toEqual(kept);
  });

  // RFC 7914 §12, third vector, whose first 32 bytes are the key of that length.
  it('agrees with the published values of scrypt', async () => {
    const hash = Buffer.from('7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2', 'hex');
    const kept = { cost: 16_384, blockSize: 8, parallelization: 1, salt: Buffer.from('SodiumChloride'), hash };
    expect(await isPassword('pleaseletmein', kept)).toBe(true);
  });

  it.each([
    '',
    'scrypt',
    'scrypt$16384$8$1$AAAAAAAAAAAAAAAAAAAAAA==$AAAA',
    'scrypt$16385$8$1$AAAAAAAAAAAAAAAAAAAAAA==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=',
    'scrypt$16384$0$1$AAAAAAAAAAAAAAAAAAAAAA==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=',
    'bcrypt$16384$8$1$AAAAAAAAAAAAAAAAAAAAAA==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=',
  ])('is not taken from %j', (text) => {
    expect(parsePasswordHash(text)).toBeUndefined();
  });

  it('is random where it is made, and needs no quoting', () => {
    expect(makePassword()).toMatch(/^[\w-]{32}$/);
    expect(makePassword()).not.toBe(makePassword());
  });
});
