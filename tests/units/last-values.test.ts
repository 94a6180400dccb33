import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LastValues } from '../../agent/units/last-values.js';
import { medianOf } from '../../agent/units/quantile.js';

describe('the last values of a run', () => {
  it('knows no median of none', () => {
    expect(new LastValues(3).median).toBeNaN();
  });

  it('forgets the oldest first', () => {
    const last = new LastValues(3);
    for (const value of [9, 1, 2, 3]) last.push(value);
    expect(last.toArray()).toEqual([1, 2, 3]);
    expect(last.median).toBe(2);
  });

  it('has the median that sorting through them gives, repeats and unknown ones among them', () => {
    const number = fc.oneof(fc.double({ noDefaultInfinity: true }), fc.integer({ min: -3, max: 3 }));
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 9 }), fc.array(number, { maxLength: 40 }), (most, values) => {
        const last = new LastValues(most);
        for (const value of values) last.push(value);
        const kept = values.filter((value) => !Number.isNaN(value)).slice(-most);
        expect(last.toArray()).toEqual(kept);
        if (Number.isFinite(medianOf(kept))) expect(last.median + 0).toBe(medianOf(kept) + 0);
      }),
    );
  });

  it('goes on where it was saved', () => {
    const whole = new LastValues(4);
    for (const value of [5, 3, 8, 1, 9]) whole.push(value);
    const resumed = new LastValues(4, whole.toArray());
    whole.push(2);
    resumed.push(2);
    expect(resumed.median).toBe(whole.median);
  });
});
