/** Kendall's S of values in order, and what it says of a trend (Mann 1945; Kendall 1970, Rank Correlation Methods). */
export interface MannKendall {
  /** Pairs that rise less pairs that fall. */
  readonly s: number;
  readonly variance: number;
  /** S, one nearer to zero for continuity, in standard deviations; 0 where S is 0. */
  readonly z: number;
}

/** What equal values take off n(n−1)(2n+5): the same of every group of them. */
function tiesTerm(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  let sum = 0;
  for (let from = 0; from < sorted.length;) {
    let to = from + 1;
    while (sorted[to] === sorted[from]) to++;
    const size = to - from;
    sum += size * (size - 1) * (2 * size + 5);
    from = to;
  }
  return sum;
}

/**
 * Variance of Kendall's S where there is no trend, less what ties among x and among y take off.
 * Source: Kendall 1970, as used by Sen 1968 for the interval of the slope.
 */
export function kendallVariance(x: ArrayLike<number>, y: ArrayLike<number>): number {
  const n = y.length;
  return (n * (n - 1) * (2 * n + 5) - tiesTerm(x) - tiesTerm(y)) / 18;
}

/**
 * The Mann–Kendall test of a trend in values that stand in order of time.
 *
 * @param values - in order, no two at the same time
 */
export function mannKendall(values: readonly number[]): MannKendall {
  let s = 0;
  values.forEach((later, j) => {
    for (let i = 0; i < j; i++) s += Math.sign(later - (values[i] as number));
  });
  const order = values.map((_value, index) => index);
  const variance = kendallVariance(order, values);
  return { s, variance, z: s === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(variance) };
}

/**
 * The exact chance, where there is no trend, of an S as far from zero as this one in its direction (one-sided).
 * Counts orders by their inversions: S = n(n−1)/2 − 2·inversions (Kendall 1970; Hollander & Wolfe, table of K).
 *
 * @param n - number of values, no two of them equal
 * @param s - Kendall's S
 */
export function exactKendallP(n: number, s: number): number {
  const pairs = (n * (n - 1)) / 2;
  const most = Math.floor((pairs - Math.abs(s)) / 2);
  // share[k]: the share of the orders of so many values that have k inversions
  let share = Float64Array.of(1);
  for (let count = 2; count <= n; count++) {
    const next = new Float64Array((count * (count - 1)) / 2 + 1);
    for (let k = 0; k < share.length; k++) {
      for (let add = 0; add < count; add++) next[k + add] = (next[k + add] as number) + (share[k] as number) / count;
    }
    share = next;
  }
  return share.subarray(0, most + 1).reduce((sum, part) => sum + part, 0);
}
