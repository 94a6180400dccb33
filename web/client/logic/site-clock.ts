import { instantOfLocal, localTime } from '../../../agent/units/local-time.js';

/** An instant as a date-and-time field has it, on the site's clock: `2026-03-02T09:41`. */
export function toField(timeMs: number, timezone: string): string {
  const { date, minutes } = localTime(timeMs, timezone);
  return `${date}T${minutes}`;
}

/** By so much clocks are put back: by an hour nearly everywhere, by half of one on Lord Howe Island. */
const PUT_BACK_MS = [3_600_000, 1_800_000];

/**
 * The instant that a date-and-time field means on the site's clock.
 *
 * @param typed - `2026-03-02T09:41`, seconds optional
 * @param latestMs - of two instants that have the same time, as summer time ends, the second where it is not after this; else the first
 * @returns epoch ms; undefined as of `instantOfLocal`
 */
export function fromField(typed: string, timezone: string, latestMs = -Infinity): number | undefined {
  const firstMs = instantOfLocal(typed, timezone);
  if (firstMs === undefined) return undefined;
  const second = PUT_BACK_MS.map((byMs) => firstMs + byMs).find((atMs) => toField(atMs, timezone) === typed.slice(0, 16));
  return second !== undefined && second <= latestMs ? second : firstMs;
}

/** An instant to the second, on a site's clock. */
export function timeWords(timeMs: number, timezone: string): string {
  const { date, seconds } = localTime(timeMs, timezone);
  return `${date} ${seconds}`;
}
