import { describe, expect, it } from 'vitest';
import { strokeReachedOn } from '../../../agent/flow/trend/stroke-reserve.js';

const day = (date: string, positionMm: number, breathingMm = 4) => ({ date, positionMm, breathingMm });

describe('the day the stroke was used up', () => {
  it('is the first of the unbroken days within the breathing of the outer stop', () => {
    const days = [day('2026-05-01', 227), day('2026-05-02', 210), day('2026-05-03', 226), day('2026-05-04', 226.4), day('2026-05-05', 229)];
    expect(strokeReachedOn(days.toReversed(), 230)).toBe('2026-05-03');
  });

  it('is not broken by a day that is not known', () => {
    expect(strokeReachedOn([day('2026-05-03', 227), day('2026-05-04', NaN), day('2026-05-05', 230, NaN)].toReversed(), 230)).toBe(
      '2026-05-03',
    );
  });

  it('is none while there is stroke left', () => {
    expect(strokeReachedOn([day('2026-05-03', 227), day('2026-05-04', 225)].toReversed(), 230)).toBeUndefined();
    expect(strokeReachedOn([].toReversed(), 230)).toBeUndefined();
  });
});
