import type { AlarmCursor, AlarmFilter } from '../../../agent/store/history.js';
import type { SilenceEvent } from './own-alarm.js';

const CURSOR = /^(-?\d{1,16})-(\d{1,16})$/;

/** A place in the list of transitions, as an address carries it. */
export function cursorText({ timeMs, nr }: AlarmCursor): string {
  return `${timeMs}-${nr}`;
}

/** @returns undefined where the text is none that `cursorText` gives */
export function readCursor(text: string): AlarmCursor | undefined {
  const [, timeMs, nr] = CURSOR.exec(text) ?? [];
  return timeMs === undefined || nr === undefined ? undefined : { timeMs: Number(timeMs), nr: Number(nr) };
}

/** Those of the agent's silence that a filter lets through: none where a place is asked for, since they are of the whole site. */
export function silencesThrough(events: readonly SilenceEvent[], filter: Omit<AlarmFilter, 'limit' | 'before'>): readonly SilenceEvent[] {
  const { fromMs = -Infinity, toMs = Infinity, conveyor, takeup, alarms, priorities, changes } = filter;
  if (conveyor !== undefined || takeup !== undefined) return [];
  return events.filter(
    (event) =>
      event.timeMs >= fromMs &&
      event.timeMs < toMs &&
      (alarms?.includes(event.alarm) ?? true) &&
      (priorities?.includes(event.priority) ?? true) &&
      (changes?.includes(event.change) ?? true),
  );
}

/**
 * Those that belong on one page of the store's list, which runs from the latest back: each is on one page, whatever lies between.
 *
 * @param beforeMs - time of the last of the page before; undefined on the first page
 * @param lastMs - time of the last of this page; undefined where it is the last page
 */
export function silencesOfPage(
  events: readonly SilenceEvent[],
  beforeMs: number | undefined,
  lastMs: number | undefined,
): readonly SilenceEvent[] {
  return events.filter(({ timeMs }) => timeMs < (beforeMs ?? Infinity) && timeMs >= (lastMs ?? -Infinity));
}
