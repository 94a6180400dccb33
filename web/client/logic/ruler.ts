import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { TakeupAnswer } from '../../server/logic/site-answer.js';
import { numberOf } from './figure.js';

/** A stretch of the drawing, in px. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** Where the carriage will be if it goes on as it does. */
export interface FutureMark {
  readonly days: number;
  readonly x: number;
  /** The outer stop comes first: the mark stands there. */
  readonly beyond: boolean;
}

/** Where everything of a take-up's ruler lies, in px from the left edge; what is not known is left out. */
export interface RulerDrawing {
  readonly inner: number;
  readonly outer: number;
  readonly left?: number;
  readonly right?: number;
  readonly middle?: number;
  /** The day's to-and-fro. */
  readonly band?: Span;
  /** Where little travel is left, and where almost none is. */
  readonly lowZone?: Span;
  readonly endZone?: Span;
  readonly future: readonly FutureMark[];
}

const FUTURE_DAYS = [30, 90] as const;

/** The part of `now` that the ruler draws. */
export type RulerNow = Pick<TakeupNow, 'left' | 'right' | 'positionMm' | 'dayRangeMm'> & {
  readonly trend: Pick<TakeupNow['trend'], 'travelMmPerDay'>;
};

/**
 * Draws a take-up's stroke to scale: the inner stop at the left, outwards to the right.
 *
 * @param frame - px from the left edge to the inner stop, and from there to the outer stop
 */
export function drawRuler(
  { strokeMm, setPoints }: Pick<TakeupAnswer, 'strokeMm' | 'setPoints'>,
  now: RulerNow | undefined,
  frame: { readonly margin: number; readonly width: number },
): RulerDrawing {
  const x = (mm: number): number => frame.margin + (clamp(mm, strokeMm) * frame.width) / strokeMm;
  const lowMm = strokeMm - (setPoints['stroke-low'] ?? 0);
  const endMm = strokeMm - (setPoints['stroke-end'] ?? 0);
  // The carriage is drawn where it was last read: what is smoothed comes half a minute behind.
  const left = numberOf(now?.left.readingMm);
  const right = numberOf(now?.right.readingMm);
  const middle = numberOf(now?.positionMm);
  const range = now?.dayRangeMm ?? undefined;
  return {
    inner: x(0),
    outer: x(strokeMm),
    ...(left === undefined ? {} : { left: x(left) }),
    ...(right === undefined ? {} : { right: x(right) }),
    ...(middle === undefined ? {} : { middle: x(middle) }),
    ...(range === undefined ? {} : { band: { from: x(range[0]), to: x(range[1]) } }),
    ...(lowMm < endMm ? { lowZone: { from: x(lowMm), to: x(endMm) } } : {}),
    ...(endMm < strokeMm ? { endZone: { from: x(endMm), to: x(strokeMm) } } : {}),
    future: futureMarks(middle, now?.trend.travelMmPerDay ?? undefined, strokeMm).map(({ days, mm }) => ({
      days,
      x: x(mm),
      beyond: mm >= strokeMm,
    })),
  };
}

/** Up to and with the first that lies beyond the outer stop; none for a carriage that does not go outwards. */
function futureMarks(
  middleMm: number | undefined,
  mmPerDay: number | undefined,
  strokeMm: number,
): readonly { days: number; mm: number }[] {
  if (middleMm === undefined || mmPerDay === undefined || mmPerDay <= 0) return [];
  const marks = FUTURE_DAYS.map((days) => ({ days, mm: middleMm + days * mmPerDay }));
  const first = marks.findIndex(({ mm }) => mm >= strokeMm);
  return first < 0 ? marks : marks.slice(0, first + 1);
}

/** A sensor that reads a little beyond a stop is shown at the stop. */
function clamp(mm: number, strokeMm: number): number {
  return Math.min(Math.max(mm, 0), strokeMm);
}
