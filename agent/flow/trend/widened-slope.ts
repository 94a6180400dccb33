import { medianOf, robustSpread } from '../../units/quantile.js';
import { normalQuantile, studentQuantile } from './distributions.js';
import { slowMovement } from './slow-movement.js';
import { theilSen } from './theil-sen.js';
import { weeklyProfile } from './weekly-profile.js';

/** A daily value to draw a line through. */
export interface DailyPoint {
  /** Day number, for what repeats and hangs together by days. */
  readonly day: number;
  /** What the line runs against: days, or cumulative running hours. */
  readonly x: number;
  readonly y: number;
}

/** A slope per unit of x with an interval that knows that days hang together. */
export interface WidenedSlope {
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /** Sen's interval, which takes the days as independent. */
  readonly plain: { readonly low: number; readonly high: number };
  /** The line at the last point. */
  readonly atLast: number;
  /** The mean of x, about which the line turns as its slope is varied. */
  readonly centreX: number;
  /** Half-width of the interval of the line at the mean of x. */
  readonly centreHalfWidth: number;
  /** A profile of the week was seen and taken off. */
  readonly weekly: boolean;
}

/** Residuals further out are drawn in to here: an outlier must not pass for a slow movement. */
const CLIP_SPREADS = 3;
/** The interval may come out a little narrower than the plain one, by the luck of few slow movements; much narrower would be luck only. */
const NARROWEST = 0.75;
/** Of the interval by spread alone: where rounding makes many slopes equal, their ranks say less than they seem to. */
const LEAST_OF_SPREAD = 0.7;

/**
 * Theil–Sen slope with Sen's interval widened for the days' dependence, by the ratio of the spread of slow movements to that of the
 * days, with Student's t for the few slow movements there are. A profile of the week is taken off first where one shows.
 *
 * The coverage of a 90 % interval is held by tests/properties/trend-coverage.test.ts.
 *
 * @param points - one a day, ascending in `day`, at least 5
 * @param confidence - of the two-sided interval
 * @returns undefined where no two points differ in x
 */
export function widenedSlope(points: readonly DailyPoint[], confidence: number): WidenedSlope | undefined {
  const days = points.map((point) => point.day);
  const x = points.map((point) => point.x);
  const raw = points.map((point) => point.y);
  const first = theilSen(x, raw, confidence);
  if (first === undefined) return undefined;
  const profile = weeklyProfile(days, residualsOf(x, raw, first.slope));
  const y = profile ? raw.map((value, i) => value - (profile[i] as number)) : raw;
  const line = profile ? (theilSen(x, y, confidence) ?? first) : first;

  const about = residualsOf(x, y, line.slope);
  const middle = medianOf(about);
  const reach = CLIP_SPREADS * robustSpread(about);
  const residuals = about.map((value) => (reach > 0 ? clip(value - middle, reach) : value - middle));

  const n = points.length;
  const centreX = x.reduce((sum, value) => sum + value, 0) / n;
  const leverage = Math.hypot(...x.map((value) => value - centreX));
  const daySpread = Math.sqrt(residuals.reduce((sum, value) => sum + value * value, 0) / (n - 2));
  const slow = slowMovement(days, x, residuals);
  const student = studentQuantile((1 + confidence) / 2, slow.degrees);
  const bySpread = (student * slow.slopeSpread) / leverage;
  const plainBySpread = (normalQuantile((1 + confidence) / 2) * daySpread) / leverage;
  // Values exactly on a line have no spread, and nothing to widen.
  const factor = plainBySpread > 0 ? Math.max(NARROWEST, bySpread / plainBySpread) : 1;
  const least = LEAST_OF_SPREAD * bySpread;
  return {
    slope: line.slope,
    low: line.slope - Math.max(factor * (line.slope - line.low), least),
    high: line.slope + Math.max(factor * (line.high - line.slope), least),
    plain: { low: line.low, high: line.high },
    atLast: middle + line.slope * (x[n - 1] as number),
    centreX,
    centreHalfWidth: (student * Math.max(slow.meanSpread, NARROWEST * daySpread)) / Math.sqrt(n),
    weekly: profile !== undefined,
  };
}

function residualsOf(x: readonly number[], y: readonly number[], slope: number): readonly number[] {
  return y.map((value, i) => value - slope * (x[i] as number));
}

function clip(value: number, reach: number): number {
  return Math.max(-reach, Math.min(reach, value));
}
