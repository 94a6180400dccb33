import { dateOfDayNumber, dayNumberOf } from '../units/local-day.js';
import { instantOfLocal } from '../units/local-instant.js';

/** Day 0 of the count, 1970-01-01, was a Thursday: three days after a Monday. */
const EPOCH_WEEKDAY = 3;

/** The date on or before another on which the week changes hands. @param handOverDay - 0 Monday … 6 Sunday */
export function handOverDateBefore(date: string, handOverDay: number): string {
  const day = dayNumberOf(date);
  const weekday = (((day + EPOCH_WEEKDAY) % 7) + 7) % 7;
  return dateOfDayNumber(day - ((weekday - handOverDay + 7) % 7));
}

/** A date with its hour, or at the hour of hand-over, as an instant; NaN where the calendar has no such date. */
export function momentOf(text: string, handOverAt: string, timezone: string): number {
  return instantOfLocal(text.slice(0, 10), text.length > 10 ? text.slice(11) : handOverAt, timezone);
}
