import type { NoForecastReason } from './no-forecast.js';
import { runInEnd } from './run-in.js';
import type { Interval, WearDay } from './wear-day.js';
import { wearSlope, type WearSlope } from './wear-slope.js';

/** How the chain wears now. */
export interface WearTrend {
  readonly elongationPctPerDay: Interval;
  /** ε on the last day as a ratio: the line there, which a single day's scatter does not move. */
  readonly level: number;
  readonly slope: WearSlope;
  /** Daily values that the line runs through, the first of them and the last. */
  readonly usedDays: number;
  readonly from: string;
  readonly to: string;
  /** The level stands on an unexplained step; the slope does not. */
  readonly provisional: boolean;
}

/** Why the wear cannot be told; with what was found, where days sufficed to look. */
export interface NoTrend {
  readonly why: NoForecastReason;
  readonly elongationPctPerDay?: Interval;
}

export interface WearTrendOptions {
  /** Of the interval; 0.9 where left out. */
  readonly confidence?: number;
  /** Day number on which a new chain came in: at a replacement, or at the reference of a chain with no wear. */
  readonly newChainDay?: number;
}

const CONFIDENCE = 0.9;
/** The recent days first, since wear changes with lubrication, load and season; further back only where they do not tell it from none. */
const WINDOWS_DAYS = [60, 120, 240] as const;
const LEAST_VALUES = 7;

/**
 * The wear of a chain from its daily values: of the last segment, after the run-in, over the last 60 days, or over 120 or 240 where the
 * interval of fewer covers zero or there are fewer than seven values in them.
 *
 * @param days - of one take-up, one a day, ascending in `dayNumber`; unusable ones may be among them
 */
export function wearTrend(days: readonly WearDay[], options: WearTrendOptions = {}): WearTrend | NoTrend {
  const confidence = options.confidence ?? CONFIDENCE;
  const usable = usableDays(days);
  const settled = lastSegment(usable, days);
  if (usable.length === 0) return { why: 'no-settled-values' };
  const begin = options.newChainDay === undefined ? -Infinity : runInEnd(settled, options.newChainDay, confidence);
  const values = settled.filter((day) => day.dayNumber >= begin);
  if (values.length < LEAST_VALUES) {
    if (values.length < settled.length) return { why: 'run-in' };
    return { why: settled.length < usable.length ? 'change-unexplained' : 'too-few-days' };
  }
  return overWindows(values, confidence);
}

/** The values that count: no bounds, nothing unknown. */
export function usableDays(days: readonly WearDay[]): readonly WearDay[] {
  return days.filter((day) => day.flag !== 'bound' && Number.isFinite(day.elongation));
}

/** Those of the segment that the last day belongs to, usable or not: a step ends what was before it at once. */
export function lastSegment(usable: readonly WearDay[], days: readonly WearDay[]): readonly WearDay[] {
  const segment = days[days.length - 1]?.segment;
  return usable.filter((day) => day.segment === segment);
}

function overWindows(values: readonly WearDay[], confidence: number): WearTrend | NoTrend {
  const last = (values[values.length - 1] as WearDay).dayNumber;
  let recent: NoTrend | undefined;
  let looked = 0;
  for (const length of WINDOWS_DAYS) {
    const window = values.filter((day) => day.dayNumber > last - length);
    if (window.length < LEAST_VALUES || window.length === looked) continue;
    looked = window.length;
    const slope = wearSlope(window, confidence);
    if (slope === undefined) return { why: 'not-running' };
    const elongationPctPerDay = inPercent(slope.perDay);
    if (slope.perDay.low > 0) return trendOf(window, slope, elongationPctPerDay);
    // A fall that is plain now is not outweighed by wear of long ago.
    if (slope.perDay.high < 0) return { why: 'elongation-falling', elongationPctPerDay };
    recent ??= { why: 'interval-covers-zero', elongationPctPerDay };
  }
  return recent ?? { why: 'too-few-days' };
}

function inPercent({ value, low, high }: Interval): Interval {
  return { value: 100 * value, low: 100 * low, high: 100 * high };
}

function trendOf(window: readonly WearDay[], slope: WearSlope, elongationPctPerDay: Interval): WearTrend {
  return {
    elongationPctPerDay,
    level: slope.level,
    slope,
    usedDays: window.length,
    from: (window[0] as WearDay).date,
    to: (window[window.length - 1] as WearDay).date,
    provisional: window.some((day) => day.flag === 'provisional'),
  };
}
