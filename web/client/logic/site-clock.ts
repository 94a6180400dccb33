import { instantOfLocal, localTime } from '../../../agent/units/local-time.js';

/** An instant as a date-and-time field has it, on the site's clock: `2026-03-02T09:41`. */
export function toField(timeMs: number, timezone: string): string {
  const { date, minutes } = localTime(timeMs, timezone);
  return `${date}T${minutes}`;
}

/**
 * The instant that a date-and-time field means on the site's clock.
 *
 * @param typed - `2026-03-02T09:41`, seconds optional
 * @returns epoch ms; undefined as of `instantOfLocal`
 */
export function fromField(typed: string, timezone: string): number | undefined {
  return instantOfLocal(typed, timezone);
}

/** An instant to the second, on a site's clock. */
export function timeWords(timeMs: number, timezone: string): string {
  const { date, seconds } = localTime(timeMs, timezone);
  return `${date} ${seconds}`;
}
