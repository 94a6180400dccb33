import type { TrendNow } from '../../../agent/contract/messages.js';
import { dayNumberOf } from '../../../agent/units/local-day.js';

/** Elongation at a day number, a fraction being the time of the day. */
export interface FanPoint {
  readonly x: number;
  readonly y: number;
}

/** Where the elongation goes from the last settled day on, with both ends of its interval. */
export interface Fan {
  readonly middle: readonly [FanPoint, FanPoint];
  readonly low: readonly [FanPoint, FanPoint];
  readonly high: readonly [FanPoint, FanPoint];
}

/** A day to come that is marked on the chart. */
export interface ForecastMark {
  readonly what: 'stroke used up' | 'springs slack' | 'wear limit';
  readonly date: string;
  readonly early: string;
  readonly late: string | null;
}

/** Drawn so far ahead at least, and at most as far as a person plans. */
const LEAST_DAYS = 60;
const MOST_DAYS = 730;

/**
 * The forecast as a fan, from the last settled elongation to the latest of the dates that it leads to.
 *
 * @param last - the last day with a value; undefined gives no fan, as does a trend without a slope
 */
export function elongationFan(last: FanPoint | undefined, trend: TrendNow | undefined): Fan | undefined {
  const slope = trend?.elongationPctPerDay;
  if (last === undefined || slope === null || slope === undefined || trend === undefined) return undefined;
  const dates = forecastMarks(trend).map(({ date, late }) => dayNumberOf(late ?? date) - last.x);
  const days = Math.min(Math.max(LEAST_DAYS, ...dates.filter((ahead) => ahead <= MOST_DAYS).map((ahead) => ahead * 1.05)), MOST_DAYS);
  const to = (perDay: number): readonly [FanPoint, FanPoint] => [last, { x: last.x + days, y: last.y + perDay * days }];
  return { middle: to(slope.value), low: to(slope.low), high: to(slope.high) };
}

/** The dates that the trend leads to, the earliest first. */
export function forecastMarks({ strokeOut, springSlack, wearLimit }: TrendNow): readonly ForecastMark[] {
  const marks: ForecastMark[] = [];
  if (strokeOut !== null) marks.push({ what: 'stroke used up', ...strokeOut });
  if (springSlack !== null) marks.push({ what: 'springs slack', ...springSlack });
  if (wearLimit !== null) marks.push({ what: 'wear limit', ...wearLimit });
  return marks.toSorted((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
}

/** The dates in words: `stroke used up about 2026-09-12 (2026-07-30 to 2026-11-20)`. */
export function forecastWords({ what, date, early, late }: ForecastMark): string {
  if (early === late) return `${what} about ${date}`;
  return `${what} about ${date} (${late === null ? `${early} at the earliest, no latest date` : `${early} to ${late}`})`;
}
