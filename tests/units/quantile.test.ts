import fc from 'fast-check';
import { median, medianAbsoluteDeviation, quantileSorted } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { copyKnown, medianOf, quantile, robustSpread } from '../../agent/units/quantile.js';

// [L] npm simple-statistics is an independent implementation: linear interpolation between order statistics, as R and NumPy have it.

const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });
const some = fc.array(number, { minLength: 1, maxLength: 60 });
/** Readings of a coarse sensor: many of them alike. */
const coarse = fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 1, maxLength: 60 });

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const near = (value: number, other: number): void => {
  expect(Math.abs(value - other), `${value} against ${other}`).toBeLessThanOrEqual(1e-9 * (1 + Math.abs(other)));
};

describe('a quantile', () => {
  it('is that of an independent implementation, whatever the numbers and their order', () => {
    fc.assert(
      fc.property(fc.oneof(some, coarse), fc.double({ min: 0, max: 1, noNaN: true }), (values, p) => {
        near(quantile(Float64Array.from(values), values.length, p), quantileSorted(sorted(values), p));
      }),
    );
  });

  it('looks at the first numbers of the column alone', () => {
    expect(quantile(Float64Array.of(3, 1, 2, 900, -900), 3, 0.5)).toBe(2);
    expect(quantile(Float64Array.of(3, 1, 2, 900, -900), 3, 1)).toBe(3);
  });

  it('rearranges the column and loses none of it', () => {
    fc.assert(
      fc.property(some, fc.double({ min: 0, max: 1, noNaN: true }), (values, p) => {
        const column = Float64Array.from(values);
        quantile(column, values.length, p);
        expect(sorted([...column])).toEqual(sorted(values));
      }),
    );
  });

  it('of no numbers is none', () => {
    expect(quantile(new Float64Array(3), 0, 0.5)).toBeNaN();
  });
});

describe('median and robust spread', () => {
  it('are those of an independent implementation', () => {
    fc.assert(
      fc.property(fc.oneof(some, coarse), (values) => {
        near(medianOf(values), median(values));
        near(robustSpread(values), 1.4826 * medianAbsoluteDeviation(values));
      }),
    );
  });

  it('leave out what is not known, and are not known where nothing is', () => {
    expect(medianOf([NaN, 4, NaN, 2, 3])).toBe(3);
    expect(robustSpread([NaN, 4, 2, 3])).toBeCloseTo(1.4826, 12);
    expect(medianOf([])).toBeNaN();
    expect(medianOf([NaN])).toBeNaN();
    expect(robustSpread([])).toBeNaN();
  });

  it('leave their argument as it was', () => {
    const values = Object.freeze([5, 1, 3]);
    medianOf(values);
    robustSpread(values);
    expect(values).toEqual([5, 1, 3]);
  });
});

describe('known numbers', () => {
  it('are copied to the front, those of the stretch asked for alone', () => {
    const to = new Float64Array(4);
    expect(copyKnown(Float64Array.of(9, 1, NaN, 2, NaN, 7), 1, 5, to)).toBe(2);
    expect([...to.subarray(0, 2)]).toEqual([1, 2]);
  });
});
