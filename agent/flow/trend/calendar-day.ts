const DAY_MS = 86_400_000;

/**
 * Days from 1970-01-01 to the middle of a calendar date, a whole number and a half. Counting dates needs no time zone.
 *
 * @param date - `YYYY-MM-DD`
 */
export function dayNumberOf(date: string): number {
  return Date.parse(`${date}T00:00:00Z`) / DAY_MS + 0.5;
}

/** The calendar date, `YYYY-MM-DD`, that a day number falls in. */
export function dateOf(dayNumber: number): string {
  return new Date(Math.floor(dayNumber) * DAY_MS).toISOString().slice(0, 10);
}
