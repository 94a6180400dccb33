const MINUTE_S = 60;
const HOUR_S = 60 * MINUTE_S;
const DAY_S = 24 * HOUR_S;

/**
 * How old something is, in the coarsest words that still tell: `4 s`, `12 min`, `3 h 20 min`, `5 days`.
 *
 * @param ageMs - a reading that seems to come from the future, by two clocks that differ, is new
 */
export function ageWords(ageMs: number): string {
  const seconds = Math.max(0, Math.floor(ageMs / 1000));
  if (seconds < 2 * MINUTE_S) return `${seconds} s`;
  if (seconds < 2 * HOUR_S) return `${Math.floor(seconds / MINUTE_S)} min`;
  if (seconds < 2 * DAY_S) {
    const minutes = Math.floor((seconds % HOUR_S) / MINUTE_S);
    return `${Math.floor(seconds / HOUR_S)} h${minutes === 0 ? '' : ` ${minutes} min`}`;
  }
  return `${Math.floor(seconds / DAY_S)} days`;
}

/** Two clocks may differ by so much without misleading anybody. */
const AHEAD_MS = 2 * MINUTE_S * 1000;

/** How old a reading is, as a person is told it; one that is far ahead says that it cannot be so. */
export function oldWords(ageMs: number): string {
  return ageMs < -AHEAD_MS ? `${ageWords(-ageMs)} ahead: a clock is wrong` : `${ageWords(ageMs)} old`;
}

/** Whole days from today to a date, both `YYYY-MM-DD`; negative for one that is past. */
export function daysUntil(date: string, today: string): number {
  return Math.round((Date.parse(date) - Date.parse(today)) / (DAY_S * 1000));
}

/** From here on days are counted in years and months: nobody reads four figures. */
const LONG_DAYS = 366;
const MONTHS_A_DAY = 12 / 365.25;

/** `1 day`, `12 days`, `4 y 3 mo`. */
export function daysWords(days: number): string {
  if (days < LONG_DAYS) return days === 1 ? '1 day' : `${days} days`;
  return yearsWords(days);
}

/** A stretch from one count of days to another in one unit: `40 to 75 days`, `3 y 2 mo to 5 y`; open-ended `from 40 days`. */
export function daysRange(least: number, most: number | undefined): string {
  if (most === undefined) return `from ${daysWords(least)}`;
  return most < LONG_DAYS ? `${least} to ${daysWords(most)}` : `${daysWords(least)} to ${yearsWords(most)}`;
}

function yearsWords(days: number): string {
  const months = Math.floor(days * MONTHS_A_DAY);
  const rest = months % 12;
  return `${Math.floor(months / 12)} y${rest === 0 ? '' : ` ${rest} mo`}`;
}
