import { median, medianAbsoluteDeviation } from 'simple-statistics';

/**
 * The Hampel identifier as published, and nothing more: |x − median| > k · 1.4826 · MAD over the reading and the three to either
 * side. Readings without three neighbours on both sides are not judged.
 * @returns the indices of the outliers
 */
export function naiveOutliers(values: readonly number[], k: number): number[] {
  return values.flatMap((value, i) => {
    if (i < 3 || i + 3 >= values.length) return [];
    const window = values.slice(i - 3, i + 4);
    return Math.abs(value - median(window)) > k * 1.4826 * medianAbsoluteDeviation(window) ? [i] : [];
  });
}
