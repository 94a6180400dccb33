import type { StandingEntry } from '../../server/logic/live-messages.js';
import { callsForSomeone, isNew, isUp, priorityRank } from './alarm-words.js';

/** What the order of a take-up on the floor depends on. */
export interface Needy {
  readonly key: string;
  readonly alarms: readonly Pick<StandingEntry, 'priority' | 'state'>[];
  /** The earliest day on which its travel may be used up, `YYYY-MM-DD`; none without a forecast. */
  readonly early: string | undefined;
}

/** `line9` before `line10`; the language is fixed, so that the order is the same on every machine. */
const NAMES = new Intl.Collator('en', { numeric: true });

const OVER = 10;
const NO_ALARM = 99;
const NO_DATE = '9999-12-31';

/** Who needs someone first: standing alarms by priority, new ones before acknowledged, then those that are over; then the early stroke-out date; then by name. */
export function compareNeed(a: Needy, b: Needy): number {
  return needOf(a) - needOf(b) || compareText(a.early ?? NO_DATE, b.early ?? NO_DATE) || NAMES.compare(a.key, b.key);
}

/** Alarms in the order in which a list shows them: most pressing first, new before acknowledged, the oldest first. */
export function compareAlarms(a: StandingEntry, b: StandingEntry): number {
  return rankOf(a) - rankOf(b) || compareText(a.since, b.since) || NAMES.compare(a.id, b.id);
}

function needOf({ alarms }: Needy): number {
  return Math.min(NO_ALARM, ...alarms.filter(({ state }) => callsForSomeone(state)).map(rankOf));
}

/** What is over and only waits to be acknowledged comes after all that is not. */
function rankOf({ priority, state }: Pick<StandingEntry, 'priority' | 'state'>): number {
  const rank = priorityRank(priority);
  return isUp(state) ? 2 * rank + (isNew(state) ? 0 : 1) : OVER + rank;
}

/** By code point: the same order on every machine, whatever its language. */
function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
