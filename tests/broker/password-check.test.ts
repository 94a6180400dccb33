import { describe, expect, it } from 'vitest';
import { hashPassword } from '../../broker/password-hash.js';
import { createPasswordCheck } from '../../broker/password-check.js';

const CREDENTIALS = { sensor: await hashPassword('s'), agent: await hashPassword('a'), web: await hashPassword('w') };

describe('checking passwords', () => {
  it('tells right from wrong, role by role, again and again', async () => {
    const check = createPasswordCheck(CREDENTIALS);
    for (let time = 0; time < 2; time++) {
      expect(await check('sensor', Buffer.from('s'))).toBe('right');
      expect(await check('agent', Buffer.from('s'))).toBe('wrong');
      expect(await check('sensor', Buffer.from('a'))).toBe('wrong');
    }
  });

  it('lets a thousand sensors that come back at once in for the price of one', async () => {
    const check = createPasswordCheck(CREDENTIALS);
    const verdicts = await Promise.all(Array.from({ length: 1000 }, () => check('sensor', Buffer.from('s'))));
    expect(new Set(verdicts)).toEqual(new Set(['right']));
  });

  it('puts off whoever tries more passwords than it can work on, and still knows who was right before', async () => {
    const check = createPasswordCheck(CREDENTIALS);
    expect(await check('web', Buffer.from('w'))).toBe('right');
    const guesses = Array.from({ length: 65 }, (_, index) => check('sensor', Buffer.from(`guess ${String(index)}`)));
    expect(await guesses[64]).toBe('busy');
    expect(await check('web', Buffer.from('w'))).toBe('right');
    expect(new Set(await Promise.all(guesses.slice(0, 64)))).toEqual(new Set(['wrong']));
  });
});
