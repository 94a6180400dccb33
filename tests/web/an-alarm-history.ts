import type { AlarmEvent, AlarmFilter } from '../../agent/store/history.js';
import type { StoreReader } from '../../agent/store/store.js';
import { Happenings } from './server/logic/transitions.js';

/** A store that has these events, in order of time, and pages them as a store does. */
export function eventsHistory(events: () => readonly AlarmEvent[]): Partial<StoreReader> {
  const history: Pick<StoreReader, 'alarmEvents' | 'alarmTurns'> = {
    alarmTurns: async (filter) => {
      const { events: turns, next } = await history.alarmEvents(filter);
      return { turns, ...(next && { next }) };
    },
    alarmEvents: (filter) => {
      const numbered = events().map((event, nr) => ({ event, nr }));
      const all = numbered.filter(({ event }) => passes(event, filter)).reverse();
      const { before } = filter;
      const rest = before === undefined ? all : all.filter(({ event, nr }) => isBefore([event.timeMs, nr], [before.timeMs, before.nr]));
      const page = rest.slice(0, filter.limit);
      const last = page.at(-1);
      const next = rest.length > page.length && last !== undefined ? { timeMs: last.event.timeMs, nr: last.nr } : undefined;
      return Promise.resolve({ events: page.map(({ event }) => event), total: all.length, ...(next && { next }) });
    },
  };
  return history;
}

function passes({ timeMs, conveyor, takeup, alarm, priority, change }: AlarmEvent, filter: AlarmFilter): boolean {
  return (
    timeMs >= (filter.fromMs ?? -Infinity) &&
    timeMs < (filter.toMs ?? Infinity) &&
    conveyor === (filter.conveyor ?? conveyor) &&
    takeup === (filter.takeup ?? takeup) &&
    (filter.alarms?.includes(alarm) ?? true) &&
    (filter.priorities?.includes(priority) ?? true) &&
    (filter.changes?.includes(change) ?? true)
  );
}

function isBefore([time, nr]: readonly [number, number], [otherTime, otherNr]: readonly [number, number]): boolean {
  return time < otherTime || (time === otherTime && nr < otherNr);
}

/**
 * A morning on which one alarm chatters and another is acknowledged.
 * @param by - who acknowledges it, and why where that is said
 */
export function aMorning(
  startMs = Date.parse('2026-03-02T05:00:00Z'),
  value = 8.2,
  by: Pick<AlarmEvent, 'by' | 'why'> = { by: 'ola' },
): readonly AlarmEvent[] {
  const plantHappenings = new Happenings(startMs);
  for (const seconds of [600, 620, 640]) {
    plantHappenings.tell(seconds, 'tu1', 'raised');
    plantHappenings.tell(seconds + 10, 'tu1', 'cleared');
  }
  plantHappenings.tell(1200, 'tu2', 'raised', { alarm: 'stroke-end', priority: 'high' });
  plantHappenings.tell(1320, 'tu2', 'acknowledged', { alarm: 'stroke-end', priority: 'high' });
  return plantHappenings.transitions.map((one, index) => ({
    ...{ kind: 'alarm' as const, id: `e${index}`, conveyor: 'line1', value, limit: 11.5, unit: 'mm', ...one },
    ...(one.change === 'acknowledged' ? by : {}),
  }));
}
