import { medianOf } from '../../units/quantile.js';
import { normalQuantile } from './distributions.js';
import { kendallVariance } from './kendall.js';

/** A straight line through values of which some may be far off, with the interval of its slope. */
export interface TheilSenLine {
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /** median(y) − slope · median(x) */
  readonly intercept: number;
}

/**
 * Theil–Sen slope: the median of the slopes of all pairs of points, with Sen's interval from the ranks of those slopes.
 * Takes the points as independent. Source: Sen 1968, J. Amer. Statist. Assoc. 63; Hollander, Wolfe & Chicken, chapter 9;
 * the large-sample approximation, with the variance of Kendall's S less ties. Pairs with the same x have no slope and are
 * left out.
 *
 * @param x - in any unit and order
 * @param y - as many as x; up to some hundreds, since the pairs are sorted
 * @param confidence - of the two-sided interval, above 0 and below 1
 * @returns undefined where no two points differ in x
 */
export function theilSen(x: readonly number[], y: readonly number[], confidence: number): TheilSenLine | undefined {
  const slopes = pairwiseSlopes(x, y);
  const count = slopes.length;
  if (count === 0) return undefined;
  slopes.sort();
  const slope = ((slopes[(count - 1) >> 1] as number) + (slopes[count >> 1] as number)) / 2;
  const spread = normalQuantile((1 + confidence) / 2) * Math.sqrt(kendallVariance(x, y));
  const below = Math.max(Math.round((count - spread) / 2) - 1, 0);
  const above = Math.min(Math.round((count + spread) / 2), count - 1);
  return { slope, low: slopes[below] as number, high: slopes[above] as number, intercept: medianOf(y) - slope * medianOf(x) };
}

function pairwiseSlopes(x: readonly number[], y: readonly number[]): Float64Array {
  const slopes = new Float64Array((x.length * (x.length - 1)) / 2);
  let count = 0;
  for (let j = 1; j < x.length; j++) {
    for (let i = 0; i < j; i++) {
      const run = (x[j] as number) - (x[i] as number);
      if (run !== 0) slopes[count++] = ((y[j] as number) - (y[i] as number)) / run;
    }
  }
  return slopes.subarray(0, count);
}
