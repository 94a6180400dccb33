/**
 * How far values wander over weeks. Neighbouring days are not independent: load and heat go by the week. What throws a
 * slope off is only the part that moves as slowly as the slope itself, so the spread is taken there, and nowhere else.
 */
export interface SlowMovement {
  /** Standard deviation per value that the slope has to reckon with; larger than that of the days where days hang together. */
  readonly slopeSpread: number;
  /** Likewise for the mean of the values. */
  readonly meanSpread: number;
  /** Slow movements it was taken from: the degrees of freedom of Student's t. */
  readonly degrees: number;
}

/** Movements this slow or slower are counted: two weeks keep out all that repeats by the week. */
const LEAST_PERIOD_DAYS = 14;
const FEWEST = 2;
/** More would be quicker movements, of which the slope feels less: weather that lasts for days would be taken too lightly. */
const MOST = 5;

/** Each unit vector is orthogonal to those before. Twice round, since once leaves rounding (Björck 1967, modified Gram–Schmidt). */
function orthogonal(vector: Float64Array, before: readonly Float64Array[]): Float64Array | undefined {
  const size = Math.hypot(...vector);
  for (let round = 0; round < 2; round++) {
    for (const unit of before) {
      const along = dot(vector, unit);
      vector.forEach((value, i) => {
        vector[i] = value - along * (unit[i] as number);
      });
    }
  }
  const left = Math.hypot(...vector);
  return left > 1e-6 * size ? vector.map((value) => value / left) : undefined;
}

function dot(a: Float64Array, b: ArrayLike<number>): number {
  return a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);
}

/** Variance of Σ v·e for unit v where neighbouring days of e correlate with `correlation` per day: v′Σv, in one pass. */
function varianceAlong(vector: Float64Array, days: readonly number[], correlation: number): number {
  let sum = 0;
  let carried = 0;
  vector.forEach((value, i) => {
    if (i > 0) carried = (carried + (vector[i - 1] as number)) * correlation ** ((days[i] as number) - (days[i - 1] as number));
    sum += value * value + 2 * value * carried;
  });
  return sum;
}

/**
 * Spread of the slow movements of residuals about a line.
 *
 * Projects the residuals on slow cosines that are orthogonal to the line, whose mean square is the variance near frequency zero, and
 * uses Student's t with as many degrees of freedom as there are cosines: equal-weighted cosine estimator, Müller 2014 (J. Bus.
 * Econ. Statist. 32) and Lazarus, Lewis, Stock & Watson 2018 (ibid. 36). Where days hang together strongly even the slowest cosine is
 * quicker than the slope; the share that is missing is what an AR(1) with the lag-1 correlation of the residuals would have there.
 *
 * @param days - days of the values, ascending
 * @param x - what the line runs against, days or running hours; not all the same
 * @param residuals - y less the line, outliers clipped, at least 5
 */
export function slowMovement(days: readonly number[], x: readonly number[], residuals: readonly number[]): SlowMovement {
  const n = days.length;
  const first = days[0] as number;
  const span = (days[n - 1] as number) - first + 1;
  const level = new Float64Array(n).fill(1 / Math.sqrt(n));
  const along = orthogonal(Float64Array.from(x), [level]);
  if (along === undefined) throw new RangeError('a slope was asked of values that all stand at one place');
  const wanted = Math.max(FEWEST, Math.min(Math.floor((2 * span) / LEAST_PERIOD_DAYS) - 1, n - 4, MOST));

  const waves: Float64Array[] = [];
  // The first cosine is nearly the line itself; the ones after it go through whole turns, two turns, …
  for (let turns = 2; turns < wanted + 2; turns++) {
    const wave = Float64Array.from(days, (day) => Math.cos((Math.PI * turns * (day - first + 0.5)) / span));
    const unit = orthogonal(wave, [level, along, ...waves]);
    if (unit) waves.push(unit);
  }

  const correlation = dayCorrelation(days, residuals);
  let power = 0;
  let expected = 0;
  for (const wave of waves) {
    power += dot(wave, residuals) ** 2;
    expected += varianceAlong(wave, days, correlation);
  }
  const mean = power / waves.length;
  const share = expected / waves.length;
  return {
    slopeSpread: Math.sqrt(mean * Math.max(1, varianceAlong(along, days, correlation) / share)),
    meanSpread: Math.sqrt(mean * Math.max(1, varianceAlong(level, days, correlation) / share)),
    degrees: waves.length,
  };
}

/** Pairs of values further apart say nothing of neighbouring days. */
const NEIGHBOURS_DAYS = 3;
const MOST_CORRELATION = 0.95;

/**
 * Correlation of one day's residual with the next, 0 to 0.95. Residuals about a fitted line correlate less than the days did: by about
 * (2 + 5ρ)/n, which is put back (the order-1/n bias of Kendall 1954, Biometrika 41, with a fitted trend).
 */
function dayCorrelation(days: readonly number[], residuals: readonly number[]): number {
  const n = residuals.length;
  const mean = residuals.reduce((sum, value) => sum + value, 0) / n;
  const square = residuals.reduce((sum, value) => sum + (value - mean) ** 2, 0) / n;
  let pairs = 0;
  let gaps = 0;
  let product = 0;
  for (let i = 1; i < n; i++) {
    const gap = (days[i] as number) - (days[i - 1] as number);
    if (gap > NEIGHBOURS_DAYS) continue;
    pairs++;
    gaps += gap;
    product += ((residuals[i] as number) - mean) * ((residuals[i - 1] as number) - mean);
  }
  if (pairs < 4 || square === 0 || n <= 5) return 0;
  const unbiased = (product / pairs / square + 2 / n) / (1 - 5 / n);
  return Math.min(Math.max(unbiased, 0) ** (pairs / gaps), MOST_CORRELATION);
}
