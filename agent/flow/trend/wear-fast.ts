import type { NoForecastReason } from './no-forecast.js';
import type { Interval, WearDay } from './wear-day.js';
import { inOneUnit, wearSlope } from './wear-slope.js';
import { lastSegment, usableDays } from './wear-trend.js';

/** The wear of the last weeks beside that of the months before, in the same unit. */
export interface WearCompared {
  /** The interval of the last slope lies above `limit`. */
  readonly is: boolean;
  /** `times` the slope before. */
  readonly limit: number;
  readonly last: Interval;
  readonly before: Interval;
  readonly per: 'day' | 'running-hour';
}

const WEAR_FAST_TIMES = 1.5;
const LAST_DAYS = 28;
const BEFORE_DAYS = 90;
const LEAST_VALUES = 7;

/**
 * Whether wear runs away: the interval of the slope of the last 28 days above `times` the slope of the 90 days before them.
 *
 * @param days - of one take-up, ascending; the windows end with the last usable one of the last segment
 * @param times - 1.5 by default
 * @param confidence - of the intervals
 */
export function wearFast(
  days: readonly WearDay[],
  times = WEAR_FAST_TIMES,
  confidence = 0.9,
): WearCompared | { readonly why: NoForecastReason } {
  const usable = usableDays(days);
  const values = lastSegment(usable, days);
  const end = values[values.length - 1]?.dayNumber;
  if (end === undefined) return { why: usable.length === 0 ? 'no-settled-values' : 'change-unexplained' };
  const last = values.filter((day) => day.dayNumber > end - LAST_DAYS);
  const before = values.filter((day) => day.dayNumber <= end - LAST_DAYS && day.dayNumber > end - LAST_DAYS - BEFORE_DAYS);
  if (last.length < LEAST_VALUES || before.length < LEAST_VALUES) {
    return { why: values.length < usable.length ? 'change-unexplained' : 'too-few-days' };
  }
  const lastSlope = wearSlope(last, confidence);
  const beforeSlope = wearSlope(before, confidence);
  if (lastSlope === undefined || beforeSlope === undefined) return { why: 'not-running' };
  const { a, b, per } = inOneUnit(lastSlope, beforeSlope);
  return compareWear(a, b, times, per);
}

/**
 * The comparison itself. Where the slope before cannot be told from none, the most that it may have been stands for it: against a
 * slope of nothing any wear at all would run away.
 */
export function compareWear(last: Interval, before: Interval, times: number, per: WearCompared['per']): WearCompared {
  const limit = times * (before.low > 0 ? before.value : Math.max(before.high, 0));
  return { is: last.low > limit, limit, last, before, per };
}
