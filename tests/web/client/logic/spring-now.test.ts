import { describe, expect, it } from 'vitest';
import { springNow } from '../../../../web/client/logic/spring-now.js';

const SIDE = { readingMm: 88, positionMm: 100, springMm: 240 };

describe('the length of a spring now', () => {
  it('follows the carriage where the spring has no sensor of its own', () => {
    expect(springNow(SIDE, false)).toBe(228);
  });

  it('is what is told where it has', () => {
    expect(springNow(SIDE, true)).toBe(240);
  });

  it('is not known where that is not known', () => {
    const lost = { unknown: 'signal-lost' } as const;
    expect(springNow({ readingMm: lost, positionMm: lost, springMm: lost }, false)).toEqual(lost);
    expect(springNow(undefined, false)).toBeUndefined();
  });
});
