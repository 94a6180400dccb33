import type { WearSlope } from './wear-slope.js';

/** Days ahead at which a wearing chain has gained so much; `late` is undefined where open-ended or beyond the horizon. */
export interface Crossing {
  readonly days: number;
  readonly early: number;
  readonly late: number | undefined;
}

/** A date further ahead than twenty years says only that nothing presses; no chain is kept so long. */
const HORIZON_DAYS = 7305;

/**
 * When the wear from the last day on reaches a gain of ε, with an early and a late day from the interval of the line: the line turns
 * about the middle of its values with the slope, and shifts with its level there, so both count. Source of the band: the
 * interval of a fitted line (Draper & Smith, Applied Regression Analysis, §3.1), read backwards for the time (Fieller 1954).
 *
 * @param slope - its low above zero
 * @param gain - of ε from the line at the last day to the limit, a ratio
 * @param earlyGain - the same to the limit that the early day counts to; at most `gain`
 * @returns undefined beyond the horizon; days are never negative
 */
export function crossing(slope: WearSlope, gain: number, earlyGain = gain): Crossing | undefined {
  const { value, low, high } = slope.perDay;
  const band = (days: number, width: number) => Math.hypot(slope.centreHalfWidth, width * (days + slope.daysFromCentre));
  const days = Math.max(0, gain / value);
  if (days > HORIZON_DAYS) return undefined;
  const early = firstDay((t) => value * t + band(t, high - value) - earlyGain) ?? days;
  const late = firstDay((t) => value * t - band(t, value - low) - gain);
  return { days, early: Math.min(early, days), late: late === undefined ? undefined : Math.max(late, days) };
}

/** Where a rising function passes zero, from day 0 to the horizon. */
function firstDay(above: (days: number) => number): number | undefined {
  if (above(HORIZON_DAYS) < 0) return undefined;
  let before = 0;
  let after = HORIZON_DAYS;
  if (above(0) >= 0) return 0;
  while (after - before > 1e-6) {
    const middle = (before + after) / 2;
    if (above(middle) < 0) before = middle;
    else after = middle;
  }
  return after;
}
