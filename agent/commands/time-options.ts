import { TakelineFault } from '../process/fault.js';
import { dateOfDayNumber, dayNumberOf } from '../units/local-day.js';
import { parseTime } from '../units/time.js';
import { textOf, type Parsed } from './options.js';

const DAY_MS = 86_400_000;

/**
 * A time that an option gives: ISO 8601 with offset, epoch milliseconds, or a date, whose beginning in UTC is meant.
 * @throws TakelineFault with exit code 2 where it is none
 */
export function timeOf(parsed: Parsed, option: string): number | undefined {
  const text = textOf(parsed, option);
  if (text === undefined) return undefined;
  const ms = isDate(text) ? dayNumberOf(text) * DAY_MS : parseTime(text);
  if (ms === undefined) {
    throw new TakelineFault('wrong-usage', `--${option} takes a time like 2026-03-02T06:00:00Z, or a date like 2026-03-02, not ${text}`, 2);
  }
  return ms;
}

function isDate(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && dateOfDayNumber(dayNumberOf(text)) === text;
}
