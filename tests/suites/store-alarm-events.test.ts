import { describe, expect, it } from 'vitest';
import type { AlarmCursor, AlarmEvent, AlarmFilter, AlarmTurn } from '../../agent/store/history.js';
import type { StoreReader } from '../../agent/store/store.js';
import { event, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const ALARMS = ['stroke-low', 'stroke-end', 'spring-slack', 'signal-lost', 'carriage-jump'] as const;
const PRIORITIES = ['urgent', 'high', 'medium', 'low'] as const;
const PER_MINUTE_MS = 30_000;

/** So many events of a plant with twelve take-ups on two conveyors, two a minute. */
function plantEvents(count: number): readonly AlarmEvent[] {
  return Array.from({ length: count }, (_, i) =>
    event({
      id: `event-${i}`,
      timeMs: START_MS + i * PER_MINUTE_MS,
      conveyor: i % 2 === 0 ? 'enamel' : 'paint',
      takeup: `tu${(i >> 1) % 6}`,
      alarm: ALARMS[i % ALARMS.length]!,
      priority: PRIORITIES[i % PRIORITIES.length]!,
      change: i % 3 === 0 ? 'raised' : 'cleared',
    }),
  );
}

/** What a filter lets through, said a second time. */
function passes(filter: Omit<AlarmFilter, 'limit'>): (event: AlarmEvent) => boolean {
  return ({ timeMs, conveyor, takeup, alarm, priority, change }) =>
    timeMs >= (filter.fromMs ?? -Infinity) &&
    timeMs < (filter.toMs ?? Infinity) &&
    conveyor === (filter.conveyor ?? conveyor) &&
    takeup === (filter.takeup ?? takeup) &&
    (filter.alarms?.includes(alarm) ?? true) &&
    (filter.priorities?.includes(priority) ?? true) &&
    (filter.changes?.includes(change) ?? true);
}

const FILTERS: readonly Omit<AlarmFilter, 'limit'>[] = [
  {},
  { conveyor: 'enamel' },
  { conveyor: 'paint', takeup: 'tu3' },
  { alarms: ['stroke-low'] },
  { alarms: ['stroke-low', 'signal-lost'] },
  { alarms: [] },
  { priorities: ['urgent', 'high'] },
  { changes: ['raised'] },
  { fromMs: START_MS + 20 * PER_MINUTE_MS, toMs: START_MS + 200 * PER_MINUTE_MS },
  {
    conveyor: 'enamel',
    takeup: 'tu0',
    alarms: ['stroke-end'],
    priorities: ['low', 'medium', 'high'],
    changes: ['cleared'],
    fromMs: START_MS + 1,
  },
];

async function allPages(reader: StoreReader, filter: Omit<AlarmFilter, 'limit'>, limit: number): Promise<readonly AlarmEvent[]> {
  const events: AlarmEvent[] = [];
  let before: AlarmCursor | undefined;
  do {
    const page = await reader.alarmEvents({ ...filter, limit, ...(before && { before }) });
    events.push(...page.events);
    before = page.next;
  } while (before);
  return events;
}

describe.each(TWINS)('alarm events in $name', ({ make }) => {
  it.each(FILTERS)('are filtered by %o: every page together gives each event once, the latest first', async (filter) => {
    const store = make();
    const writer = await store.writer();
    const events = plantEvents(500);
    await writer.writeOutputs({ events });
    const reader = await store.reader();
    const expected = events.filter(passes(filter)).reverse();
    expect(await allPages(reader, filter, 37)).toEqual(expected);
    expect((await reader.alarmEvents({ ...filter, limit: 1 })).total).toBe(expected.length);
  });

  it('are gone through in the order in which they happened, from a time on and up to another', async () => {
    const store = make();
    const writer = await store.writer();
    const events = plantEvents(500);
    await writer.writeOutputs({ events: events.slice(250) });
    // Told late, as what was worked out again after a crash is.
    await writer.writeOutputs({ events: events.slice(0, 250) });
    const reader = await store.reader();
    const filter = { order: 'earliest-first', fromMs: events[7]!.timeMs, toMs: events[450]!.timeMs, changes: ['raised'] } as const;
    const gone: AlarmEvent[] = [];
    let after: AlarmCursor | undefined;
    do {
      const page = await reader.alarmEvents({ ...filter, limit: 20, ...(after && { after }) });
      gone.push(...page.events);
      after = page.next;
    } while (after);
    expect(gone).toEqual(events.filter(passes(filter)));
  });

  it('are gone through lean for figures, latest first up to a time, page by page and each once', async () => {
    const store = make();
    const writer = await store.writer();
    const events = plantEvents(100);
    await writer.writeOutputs({ events: [...events, event({ id: 'same moment', timeMs: events[40]!.timeMs })] });
    const reader = await store.reader();
    const toMs = events[90]!.timeMs;
    const turns: AlarmTurn[] = [];
    let before: AlarmCursor | undefined;
    do {
      const page = await reader.alarmTurns({ toMs, limit: 13, ...(before && { before }) });
      turns.push(...page.turns);
      before = page.next;
    } while (before);
    const whole = await allPages(reader, { toMs }, 50);
    expect(turns).toEqual(
      whole.map(({ timeMs, conveyor, takeup, signal, alarm, priority, change, from, to }) => ({
        ...{ timeMs, conveyor, alarm, priority, change, from, to },
        ...(takeup === undefined ? {} : { takeup }),
        ...(signal === undefined ? {} : { signal }),
      })),
    );
    expect(turns).toHaveLength(91);
    expect(await reader.alarmTurns({ toMs, limit: 91 })).not.toHaveProperty('next');
    await expect(reader.alarmTurns({ toMs, limit: 0 })).rejects.toThrow(RangeError);
  });

  it('that happened at the same moment are paged by the order in which they were written', async () => {
    const store = make();
    const writer = await store.writer();
    const events = Array.from({ length: 7 }, (_, i) => event({ id: `event-${i}` }));
    await writer.writeOutputs({ events });
    expect(await allPages(await store.reader(), {}, 2)).toEqual(events.toReversed());
  });

  it('fill the last page exactly without promising another', async () => {
    const store = make();
    const writer = await store.writer();
    await writer.writeOutputs({ events: plantEvents(4) });
    const reader = await store.reader();
    const first = await reader.alarmEvents({ limit: 2 });
    const second = await reader.alarmEvents({ limit: 2, before: first.next! });
    expect(second.events).toHaveLength(2);
    expect(second).not.toHaveProperty('next');
  });

  it('cannot be listed on pages without room', async () => {
    const store = make();
    await store.writer();
    const reader = await store.reader();
    await expect(reader.alarmEvents({ limit: 0 })).rejects.toThrow(RangeError);
    await expect(reader.alarmEvents({ limit: 1.5 })).rejects.toThrow(RangeError);
  });
});
