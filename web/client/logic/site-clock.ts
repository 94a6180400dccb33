import { localTime } from '../../../agent/units/local-time.js';

const TYPED = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/;

/** An instant as a date-and-time field has it, on the site's clock: `2026-03-02T09:41`. */
export function toField(timeMs: number, timezone: string): string {
  const { date, minutes } = localTime(timeMs, timezone);
  return `${date}T${minutes}`;
}

/**
 * The instant that a date-and-time field means on the site's clock.
 *
 * @param typed - `2026-03-02T09:41`, seconds optional
 * @returns epoch ms; undefined where nothing of the kind is typed, or the clock skips that time as daylight saving begins. Of the two
 *   instants that have the same time as it ends, the first.
 */
export function fromField(typed: string, timezone: string): number | undefined {
  if (!TYPED.test(typed)) return undefined;
  const asUtcMs = Date.parse(`${typed}Z`);
  if (Number.isNaN(asUtcMs)) return undefined;
  // The clock's offset a day before and a day after are the only two that can hold here.
  const candidates = [asUtcMs - DAY_MS, asUtcMs + DAY_MS].map((nearMs) => asUtcMs - offsetMs(nearMs, timezone));
  return candidates.toSorted((a, b) => a - b).find((atMs) => toField(atMs, timezone) === typed.slice(0, 16));
}

const DAY_MS = 86_400_000;

/** How far the site's clock is ahead of UTC. */
function offsetMs(timeMs: number, timezone: string): number {
  const { date, seconds } = localTime(timeMs, timezone);
  return Date.parse(`${date}T${seconds}Z`) - Math.floor(timeMs / 1000) * 1000;
}
