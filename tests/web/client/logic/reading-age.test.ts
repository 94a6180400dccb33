import { describe, expect, it } from 'vitest';
import { olderReading } from '../../../../web/client/logic/reading-age.js';
import { nowOf } from '../../a-takeup.js';

const side = (positionAt?: string) => ({ ...nowOf().left, ...(positionAt === undefined ? {} : { positionAt }) });

describe('the age of what is computed from both sides', () => {
  it('is that of the older reading', () => {
    const [older, newer] = ['2026-03-02T09:00:00Z', '2026-03-02T10:00:01.500+01:00'];
    expect(olderReading({ left: side(newer), right: side(older) })).toBe(older);
    expect(olderReading({ left: side(older), right: side(newer) })).toBe(older);
  });

  it('is none while a side was never read', () => {
    const { readingMm, positionMm, springMm, forceN } = nowOf().left;
    const never = { readingMm, positionMm, springMm, forceN };
    expect(olderReading({ left: never, right: side('2026-03-02T09:00:00Z') })).toBeUndefined();
  });
});
