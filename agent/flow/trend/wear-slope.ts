import { medianOf } from '../../units/quantile.js';
import { normalQuantile } from './distributions.js';
import { theilSen } from './theil-sen.js';
import type { Interval, WearDay } from './wear-day.js';
import { widenedSlope, type DailyPoint } from './widened-slope.js';

/** Wear of one window of days. Elongation as a ratio. */
export interface WearSlope {
  readonly perDay: Interval;
  /** Undefined against calendar time. */
  readonly perRunningHour: Interval | undefined;
  readonly runningHoursPerDay: number | undefined;
  /** The line at the last day. */
  readonly level: number;
  /** Days, at the recent running, from the middle of the values to the last day: the line turns about that middle. */
  readonly daysFromCentre: number;
  /** Half-width of the interval of the line at its middle. */
  readonly centreHalfWidth: number;
}

/** What of the heat correction may be wrong, one standard deviation: steels expand by 11 to 12.5·10⁻⁶/°C, and the air is not the chain. */
const HEAT_ERROR = 0.05;
/** Running hours per day are those of this many days: shifts change. */
const RECENT_DAYS = 28;
const WEEK_DAYS = 7;

/**
 * Theil–Sen slope of elongation over a window of days, with the widened interval, against running hours where every day has
 * them and else against days. What the heat correction may be wrong by is added to the interval: a twentieth of the drift
 * of that correction over the same days (a season's warming looks like wear).
 *
 * @param days - at least 7 usable values, ascending
 * @returns undefined where the conveyor did not run over the window
 */
export function wearSlope(days: readonly WearDay[], confidence: number): WearSlope | undefined {
  const hours = runningHoursOf(days);
  const x = hours ?? days.map((day) => day.dayNumber);
  const points = days.map((day, i) => ({ day: day.dayNumber, x: x[i] as number, y: day.elongation }));
  const line = widenedSlope(points, confidence);
  if (line === undefined) return undefined;
  const perDayFactor = hours ? hoursPerDay(days, hours) : 1;
  const heat = normalQuantile((1 + confidence) / 2) * HEAT_ERROR * Math.abs(heatDrift(days, x, confidence));
  const wander = normalQuantile((1 + confidence) / 2) * rateWander(points, line.slope);
  const perX: Interval = {
    value: line.slope,
    low: line.slope - Math.hypot(line.slope - line.low, heat, wander),
    high: line.slope + Math.hypot(line.high - line.slope, heat, wander),
  };
  return {
    perDay: { value: perX.value * perDayFactor, low: perX.low * perDayFactor, high: perX.high * perDayFactor },
    perRunningHour: hours ? perX : undefined,
    runningHoursPerDay: hours ? perDayFactor : undefined,
    level: line.atLast,
    daysFromCentre: ((x[x.length - 1] as number) - line.centreX) / perDayFactor,
    centreHalfWidth: line.centreHalfWidth,
  };
}

/** Two slopes in one unit: per running hour where both know it, since more shifts are not faster wear; else per day. */
export function inOneUnit(
  a: WearSlope,
  b: WearSlope,
): { readonly a: Interval; readonly b: Interval; readonly per: 'day' | 'running-hour' } {
  if (a.perRunningHour && b.perRunningHour) return { a: a.perRunningHour, b: b.perRunningHour, per: 'running-hour' };
  return { a: a.perDay, b: b.perDay, per: 'day' };
}

/** The running hours of every day; undefined where one is missing or the count went backwards. */
function runningHoursOf(days: readonly WearDay[]): readonly number[] | undefined {
  const hours: number[] = [];
  for (const { runningHours } of days) {
    if (runningHours === undefined || runningHours < (hours[hours.length - 1] ?? -Infinity)) return undefined;
    hours.push(runningHours);
  }
  return hours;
}

/**
 * Running hours a day over the last four whole weeks, or as many as there are: a stretch that begins on a Monday and ends on a Friday has
 * lost a weekend, and would pass for more running than there is. Days without a value did not run: what lies between the last
 * value before the stretch and its beginning adds no hours.
 */
function hoursPerDay(days: readonly WearDay[], hours: readonly number[]): number {
  const last = days.length - 1;
  const lastDay = (days[last] as WearDay).dayNumber;
  for (let span = RECENT_DAYS; span >= WEEK_DAYS; span -= WEEK_DAYS) {
    const from = days.findLastIndex((day) => day.dayNumber <= lastDay - span);
    if (from < 0 || (days[from] as WearDay).dayNumber <= lastDay - span - WEEK_DAYS) continue;
    const ran = (hours[last] as number) - (hours[from] as number);
    if (ran > 0) return ran / span;
  }
  const ran = (hours[last] as number) - (hours[0] as number);
  return ran > 0 ? ran / (lastDay - (days[0] as WearDay).dayNumber) : 0;
}

/** Fewer weeks tell nothing of how they differ. */
const FEWEST_WEEKS = 5;

/**
 * How far the mean rate may be off because the rate itself goes by the week, as load does: one standard deviation, per unit of x. From
 * the steps between the middles of the weeks: scatter of the values makes neighbouring steps opposite, a changing rate does not, so their
 * variance and twice their first autocovariance leave the rate's own variance (the long-run variance of Newey & West 1987, one lag).
 */
function rateWander(points: readonly DailyPoint[], slope: number): number {
  const first = points[0]?.day ?? NaN;
  const weeks = new Map<number, number[]>();
  for (const { day, x, y } of points) {
    const week = Math.floor((day - first) / WEEK_DAYS);
    weeks.set(week, [...(weeks.get(week) ?? []), y - slope * x]);
  }
  const middles = [...weeks.values()].map(medianOf);
  if (middles.length < FEWEST_WEEKS) return 0;
  const steps = middles.slice(1).map((middle, i) => middle - (middles[i] as number));
  const variance = steps.reduce((sum, step) => sum + step * step, 0) / steps.length;
  const together = steps.slice(1).reduce((sum, step, i) => sum + step * (steps[i] as number), 0) / steps.length;
  const span = (points[points.length - 1] as DailyPoint).x - (points[0] as DailyPoint).x;
  // A step's own spread over the root of their number is that of their mean; a week is its share of the span.
  return (Math.sqrt(Math.max(0, variance + 2 * together)) * Math.sqrt(steps.length)) / span;
}

function heatDrift(days: readonly WearDay[], x: readonly number[], confidence: number): number {
  const known = days.flatMap((day, i) => (day.heat === undefined || Number.isNaN(day.heat) ? [] : [{ x: x[i] as number, heat: day.heat }]));
  const line = theilSen(
    known.map((day) => day.x),
    known.map((day) => day.heat),
    confidence,
  );
  return line?.slope ?? 0;
}
