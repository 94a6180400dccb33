/**
 * Quantiles of the standard normal and of Student's t distribution, for the intervals of the trend.
 */

/** Numerator and denominator of a rational approximation, lowest power first. */
interface Rational {
  readonly over: readonly number[];
  readonly under: readonly number[];
}

const CENTRE: Rational = {
  over: [3.3871327179, 50.434271938, 159.29113202, 59.10937472],
  under: [1, 17.895169469, 78.757757664, 67.1875636],
};
const SHOULDER: Rational = { over: [1.4234372777, 2.75681539, 1.3067284816, 0.17023821103], under: [1, 0.7370016425, 0.12021132975] };
const TAIL: Rational = { over: [6.657905115, 3.081226386, 0.42868294337, 0.017337203997], under: [1, 0.24197894225, 0.012258202635] };

function polynomial(coefficients: readonly number[], at: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * at + coefficient, 0);
}

function ratio({ over, under }: Rational, at: number): number {
  return polynomial(over, at) / polynomial(under, at);
}

/**
 * Quantile of the standard normal distribution, good to seven figures.
 * Source: Wichura 1988, Applied Statistics 37, algorithm AS 241 (PPND7).
 *
 * @param p - probability, above 0 and below 1
 */
export function normalQuantile(p: number): number {
  const fromMiddle = p - 0.5;
  if (Math.abs(fromMiddle) <= 0.425) return fromMiddle * ratio(CENTRE, 0.180625 - fromMiddle * fromMiddle);
  const depth = Math.sqrt(-Math.log(Math.min(p, 1 - p)));
  const size = depth <= 5 ? ratio(SHOULDER, depth - 1.6) : ratio(TAIL, depth - 5);
  return fromMiddle < 0 ? -size : size;
}

/**
 * The chance that |t| stays below a value.
 * Source: Abramowitz & Stegun 1964, 26.7.3 (odd) and 26.7.4 (even degrees of freedom).
 */
function studentWithin(t: number, degrees: number): number {
  const angle = Math.atan(t / Math.sqrt(degrees));
  const cosine2 = Math.cos(angle) ** 2;
  const odd = degrees % 2 === 1;
  let term = odd ? Math.cos(angle) : 1;
  let sum = degrees === 1 ? 0 : term;
  for (let k = odd ? 3 : 2; k <= degrees - 2; k += 2) {
    term *= (cosine2 * (k - 1)) / k;
    sum += term;
  }
  return odd ? (2 / Math.PI) * (angle + Math.sin(angle) * sum) : Math.sin(angle) * sum;
}

/**
 * Quantile of Student's t distribution, by bisection.
 *
 * @param p - probability, at least 0.5 and below 1
 * @param degrees - degrees of freedom, a whole number from 1
 */
export function studentQuantile(p: number, degrees: number): number {
  const within = 2 * p - 1;
  let above = 1;
  while (studentWithin(above, degrees) < within) above *= 2;
  let below = 0;
  for (let i = 0; i < 60; i++) {
    const middle = (below + above) / 2;
    if (studentWithin(middle, degrees) < within) below = middle;
    else above = middle;
  }
  return (below + above) / 2;
}
