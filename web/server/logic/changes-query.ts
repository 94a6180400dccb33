import { Type, type Static, type TObject } from 'typebox';
import type { AlarmKey, Priority } from '../../../agent/flow/alarm-key.js';
import type { AlarmOutput } from '../../../agent/flow/output.js';
import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import type { ChangesFilter } from '../alarm-past.js';
import type { SiteSpans } from './site-spans.js';

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const DATE = Type.String({ pattern: '^\\d{4}-\\d{2}-\\d{2}$' });
/** Names with commas between them. */
const NAMES = Type.String({ minLength: 1, maxLength: 1000 });

/** Which transitions are asked for; what is left out does not narrow. */
export const CHANGES_QUERY = {
  /** First and last day, in the site's time zone. */
  from: Type.Optional(DATE),
  to: Type.Optional(DATE),
  conveyor: Type.Optional(NAME),
  takeup: Type.Optional(NAME),
  alarm: Type.Optional(NAMES),
  priority: Type.Optional(NAMES),
  change: Type.Optional(NAMES),
};
type ChangesQuery = Static<TObject<typeof CHANGES_QUERY>>;

const PRIORITIES: readonly Priority[] = ['urgent', 'high', 'medium', 'low'];
const CHANGES = [
  ...['raised', 'cleared', 'acknowledged', 'shelved', 'unshelved', 'suppressed', 'unsuppressed', 'out-of-service', 'in-service'],
] as readonly AlarmOutput['change'][];

/** The filter, or a sentence on what is wrong with it. */
export type ChangesReading = { readonly ok: true; readonly filter: ChangesFilter } | { readonly ok: false; readonly why: string };

/**
 * Reads which transitions are asked for.
 *
 * @param keys - every alarm that there is
 */
export function readChangesQuery(query: ChangesQuery, keys: readonly AlarmKey[], spans: SiteSpans): ChangesReading {
  const [from, to] = [query.from, query.to];
  for (const date of [from, to]) if (date !== undefined && !isDate(date)) return { ok: false, why: `${date} is no day of the calendar.` };
  if (from !== undefined && to !== undefined && from > to) return { ok: false, why: 'The first day must not be after the last.' };
  const [alarms, priorities, changes] = [among(keys, query.alarm), among(PRIORITIES, query.priority), among(CHANGES, query.change)];
  for (const read of [alarms, priorities, changes])
    if (typeof read === 'string') return { ok: false, why: `There is no ${read}: choose from the list.` };
  return {
    ok: true,
    filter: {
      ...(from === undefined ? {} : { fromMs: spans.startOf(from) }),
      ...(to === undefined ? {} : { toMs: spans.startOf(dateOfDayNumber(dayNumberOf(to) + 1)) }),
      ...(query.conveyor === undefined ? {} : { conveyor: query.conveyor }),
      ...(query.takeup === undefined ? {} : { takeup: query.takeup }),
      ...(typeof alarms === 'object' ? { alarms } : {}),
      ...(typeof priorities === 'object' ? { priorities } : {}),
      ...(typeof changes === 'object' ? { changes } : {}),
    },
  };
}

/** The names asked for, undefined where none are, or the first that is not among those there are. */
function among<T extends string>(all: readonly T[], asked: string | undefined): readonly T[] | string | undefined {
  if (asked === undefined) return undefined;
  const names = asked.split(',');
  const strange = names.find((name) => !all.some((one) => one === name));
  return strange ?? all.filter((one) => names.includes(one));
}

function isDate(date: string): boolean {
  return dateOfDayNumber(dayNumberOf(date)) === date;
}
