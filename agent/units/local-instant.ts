import { localTime } from './local-time.js';

const MINUTE_MS = 60_000;
/** No time zone is further from UTC than this, and none moves its clocks by more than a day at once. */
const REACH_MS = 27 * 3_600_000;

/**
 * The instant at which the clock on the wall first shows a date and time. Where it shows it twice, as when summer time ends, the first;
 * where it never does, because the clock is put forward over it, the instant at which it is.
 *
 * @param date - `YYYY-MM-DD`
 * @param at - `HH:MM`
 * @param timezone - IANA name
 * @returns epoch ms, a whole minute; NaN where the calendar has no such date
 */
export function instantOfLocal(date: string, at: string, timezone: string): number {
  const asUtcMs = Date.parse(`${date}T${at}:00Z`);
  if (Number.isNaN(asUtcMs) || new Date(asUtcMs).toISOString().slice(0, 10) !== date) return NaN;
  const wanted = `${date} ${at}`;
  const reached = (minute: number): boolean => {
    const { date: day, minutes } = localTime(minute * MINUTE_MS, timezone);
    return `${day} ${minutes}` >= wanted;
  };
  // The wall clock may go back within the reach: candidates are the two offsets around, tried earliest first.
  const offsets = [asUtcMs - REACH_MS, asUtcMs + REACH_MS].map((ms) => localOffsetMs(ms, timezone));
  const candidates = offsets.map((offset) => asUtcMs - offset).sort((a, b) => a - b);
  for (const ms of candidates) {
    const { date: day, minutes } = localTime(ms, timezone);
    if (`${day} ${minutes}` === wanted) return ms;
  }
  // In the gap: the first minute that shows a later time.
  let low = Math.floor(((candidates[0] as number) - REACH_MS) / MINUTE_MS);
  let high = Math.ceil(((candidates.at(-1) as number) + REACH_MS) / MINUTE_MS);
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (reached(middle)) high = middle;
    else low = middle;
  }
  return high * MINUTE_MS;
}

/** How far the wall clock is ahead of UTC, to the minute. */
export function localOffsetMs(timeMs: number, timezone: string): number {
  const whole = Math.floor(timeMs / MINUTE_MS) * MINUTE_MS;
  const { date, minutes } = localTime(whole, timezone);
  return Date.parse(`${date}T${minutes}:00Z`) - whole;
}
