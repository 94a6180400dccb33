import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import { fromField } from './site-clock.js';

/** Which entries of the service log are asked for; an empty part asks for nothing. */
export interface LogFilter {
  readonly conveyor: string;
  readonly kind: string;
  readonly by: string;
  readonly state: '' | 'standing' | 'corrected' | 'withdrawn';
  /** Days on the site's clock, `YYYY-MM-DD`, the last with it. */
  readonly from: string;
  readonly to: string;
  readonly words: string;
}

export const NO_FILTER: LogFilter = { conveyor: '', kind: '', by: '', state: '', from: '', to: '', words: '' };

/** The query by which the server finds them, with its question mark; empty where nothing narrows. The files to take away follow it too. */
export function logQuery({ conveyor, kind, by, state, from, to, words }: LogFilter, timezone: string): string {
  const fromMs = fromField(`${from}T00:00`, timezone);
  const toMs = to === '' ? undefined : fromField(`${dayAfter(to)}T00:00`, timezone);
  const parts = Object.entries({ conveyor, kinds: kind, by: by.trim(), state, text: words.trim() }).filter(([, value]) => value !== '');
  const query = new URLSearchParams(parts);
  if (fromMs !== undefined) query.set('fromMs', String(fromMs));
  if (toMs !== undefined) query.set('toMs', String(toMs));
  const text = query.toString();
  return text === '' ? '' : `?${text}`;
}

function dayAfter(date: string): string {
  return dateOfDayNumber(dayNumberOf(date) + 1);
}
