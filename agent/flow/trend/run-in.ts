import type { WearDay } from './wear-day.js';
import { inOneUnit, wearSlope } from './wear-slope.js';

/** A new chain beds in over its first two weeks of running at the least. */
const RUN_IN_DAYS = 14;
/** Judged by windows of this length… */
const WINDOW_DAYS = 14;
/** …beside what follows them, as far as the trend itself looks back first… */
const AFTER_DAYS = 60;
/** …each beginning so much later than the one before. */
const STEP_DAYS = 7;
/** Wear so many times what comes after it is still run-in. */
const FAR_ABOVE = 2;
/** What lasts longer than this is how the chain wears, not how it runs in. */
const LONGEST_DAYS = 90;
const LEAST_VALUES = 7;

/**
 * When the run-in of a new chain is over: the first 14 days are; after them, fortnight by fortnight, for as long as the
 * interval of its slope lies above twice the slope of the 60 days that follow, at most 90 days in all.
 *
 * @param days - usable values, ascending
 * @param newChainDay - day number on which the chain was new
 * @returns the day number from which values count
 */
export function runInEnd(days: readonly WearDay[], newChainDay: number, confidence: number): number {
  let end = newChainDay + RUN_IN_DAYS;
  while (end + STEP_DAYS <= newChainDay + LONGEST_DAYS && stillRunningIn(days, end, confidence)) end += STEP_DAYS;
  return end;
}

function stillRunningIn(days: readonly WearDay[], from: number, confidence: number): boolean {
  const early = days.filter((day) => day.dayNumber >= from && day.dayNumber < from + WINDOW_DAYS);
  const after = from + WINDOW_DAYS;
  const later = days.filter((day) => day.dayNumber >= after && day.dayNumber < after + AFTER_DAYS);
  if (early.length < LEAST_VALUES || later.length < LEAST_VALUES) return false;
  const now = wearSlope(early, confidence);
  const then = wearSlope(later, confidence);
  if (now === undefined || then === undefined) return false;
  const { a, b } = inOneUnit(now, then);
  return a.low > FAR_ABOVE * Math.max(b.value, 0);
}
