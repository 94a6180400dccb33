/** A day of the site's calendar, or a minute of its clock. */
export type ClockKind = 'day' | 'moment';

/** How each is typed, for whoever has typed something else. */
export const CLOCK_FORMS: Readonly<Record<ClockKind, string>> = { day: '2026-03-02', moment: '2026-03-02 09:41' };

/** What a field holds, as a person reads it everywhere else: `2026-03-02T09:41` becomes `2026-03-02 09:41`. */
export function clockText(value: string): string {
  return value.replace('T', ' ');
}

const DAY = /^(\d{4})-(\d{1,2})-(\d{1,2})$/;
const MOMENT = /^(\d{4}-\d{1,2}-\d{1,2})(?: +|T)(\d{1,2}):(\d{2})$/;

/**
 * What was typed as a field holds it: `2026-03-02`, or `2026-03-02T09:41`; leading noughts may be left out.
 *
 * @returns undefined where it is no day of the calendar, or no minute of a day of 24 hours; nothing typed is nothing held
 */
export function readClockText(text: string, kind: ClockKind): string | undefined {
  const trimmed = text.trim();
  if (trimmed === '') return '';
  if (kind === 'day') return readDay(trimmed);
  const [, date = '', hour = '', minute = ''] = MOMENT.exec(trimmed) ?? [];
  const day = readDay(date);
  if (day === undefined || Number(hour) > 23 || Number(minute) > 59) return undefined;
  return `${day}T${hour.padStart(2, '0')}:${minute}`;
}

function readDay(text: string): string | undefined {
  const [, year = '', month = '', day = ''] = DAY.exec(text) ?? [];
  const iso = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  const ms = Date.parse(`${iso}T00:00:00Z`);
  // The 31st of a shorter month would be taken for a day of the next.
  return Number.isNaN(ms) || new Date(ms).toISOString().slice(0, 10) !== iso ? undefined : iso;
}
