import { describe, expect, it } from 'vitest';
import { kendallVariance, mannKendall } from '../../../agent/flow/trend/kendall.js';
import { theilSen } from '../../../agent/flow/trend/theil-sen.js';
import { widenedSlope } from '../../../agent/flow/trend/widened-slope.js';

describe('the Theil–Sen line', () => {
  // SciPy 1.17 scipy.stats.theilslopes on the same values [L].
  it('leaves out pairs at one place and counts ties as SciPy does', () => {
    expect(theilSen([1, 2, 2, 3, 4, 5, 6, 7], [1, 1, 2, 2, 3, 5, 5, 9], 0.9)).toEqual({ slope: 1, low: 0.75, high: 1.5, intercept: -1 });
    const tied = theilSen([0, 1, 2, 3, 4, 5, 6, 7, 8, 9], [0, 0, 0, 1, 1, 1, 2, 2, 1, 2], 0.9);
    expect(tied).toEqual({ slope: 0.25, low: 0, high: expect.closeTo(1 / 3, 12) as number, intercept: -0.125 });
  });

  it('has no slope where all points stand at one place', () => {
    expect(theilSen([3, 3, 3], [1, 2, 3], 0.9)).toBeUndefined();
    expect(
      widenedSlope(
        [1, 2, 3, 4, 5, 6, 7].map((day) => ({ day, x: 40, y: day })),
        0.9,
      ),
    ).toBeUndefined();
  });

  it('has no width where the values lie on a line', () => {
    const line = widenedSlope(
      [1, 2, 3, 4, 5, 6, 7].map((day) => ({ day, x: day, y: 5 + 2 * day })),
      0.9,
    )!;
    expect(line).toMatchObject({ slope: 2, low: 2, high: 2, atLast: 19, centreHalfWidth: 0 });
  });
});

describe("Kendall's S", () => {
  it('has no variance and no trend where all values are equal', () => {
    expect(kendallVariance([1, 2, 3], [5, 5, 5])).toBe(0);
    expect(mannKendall([5, 5, 5])).toEqual({ s: 0, variance: 0, z: 0 });
  });
});
