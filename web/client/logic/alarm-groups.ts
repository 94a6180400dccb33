import type { Priority } from '../../../agent/flow/alarm-key.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { matches } from './search.js';

/** The alarms of one conveyor, or of the site itself. */
export interface AlarmGroup {
  /** Undefined for those of the site itself. */
  readonly conveyor: string | undefined;
  readonly alarms: readonly StandingEntry[];
}

/** More than these of a group are shown when they are asked for. */
const FIRST_OF_GROUP = 5;

/**
 * Those that a person looks for.
 *
 * @param wordsOf - all by which an alarm is known
 */
export function findAlarms(
  alarms: readonly StandingEntry[],
  query: string,
  priority: Priority | 'all',
  wordsOf: (alarm: StandingEntry) => readonly string[],
): readonly StandingEntry[] {
  return alarms.filter((alarm) => (priority === 'all' || alarm.priority === priority) && matches(query, [...wordsOf(alarm)]));
}

/** Groups in the order of their first alarm, so that the most pressing group comes first where the alarms do. */
export function groupByConveyor(alarms: readonly StandingEntry[]): readonly AlarmGroup[] {
  const groups = new Map<string | undefined, StandingEntry[]>();
  for (const alarm of alarms) {
    const group = groups.get(alarm.conveyor);
    if (group === undefined) groups.set(alarm.conveyor, [alarm]);
    else group.push(alarm);
  }
  return [...groups].map(([conveyor, list]) => ({ conveyor, alarms: list }));
}

/** Those of a group that are on the screen: all of a small one, the first of a large one until somebody asks for the others. */
export function shownOf({ alarms }: AlarmGroup, whole: boolean): readonly StandingEntry[] {
  // One more than the first is as short as the button that would hide it.
  return whole || alarms.length <= FIRST_OF_GROUP + 1 ? alarms : alarms.slice(0, FIRST_OF_GROUP);
}

/**
 * The list that came, with every entry that says the same as before the very one from before: what is drawn for it then need not be
 * drawn anew, however often the list comes.
 */
export function keepSame(before: readonly StandingEntry[], after: readonly StandingEntry[]): readonly StandingEntry[] {
  const known = new Map(before.map((entry) => [entry.id, entry]));
  return after.map((entry) => {
    const old = known.get(entry.id);
    return old !== undefined && JSON.stringify(old) === JSON.stringify(entry) ? old : entry;
  });
}
