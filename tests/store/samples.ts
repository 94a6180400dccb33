import type { FindingOutput, MinuteOutput, SettledDayOutput } from '../../agent/flow/output.js';
import type { AlarmEvent, HistoryPoint } from '../../agent/store/history.js';
import type { EntryRecord, JournalInput, ReadingColumns } from '../../agent/store/journal.js';

export const START_MS = Date.parse('2026-03-02T06:00:00Z');
export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;

/** Rows of signal, time, value as the columns that the journal takes. */
export function readings(...rows: readonly (readonly [signal: number, timeMs: number, value: number])[]): ReadingColumns {
  return {
    count: rows.length,
    signal: Int32Array.from(rows, ([signal]) => signal),
    timeMs: Float64Array.from(rows, ([, timeMs]) => timeMs),
    value: Float64Array.from(rows, ([, , value]) => value),
  };
}

/** The rows that columns hold. */
export function rowsOf({ count, signal, timeMs, value }: ReadingColumns): readonly (readonly number[])[] {
  return Array.from({ length: count }, (_, i) => [signal[i]!, timeMs[i]!, value[i]!]);
}

export function entry(over: Partial<EntryRecord> = {}): EntryRecord {
  const { id = 'entry-a', timeMs = START_MS, conveyor = 'enamel', kind = 'chain-removed' } = over;
  const body = { id, time: new Date(timeMs).toISOString(), conveyor, takeup: 'tu1', kind, pitches: 4 };
  return { id, timeMs, conveyor, takeup: 'tu1', kind, body, ...over };
}

export function service(over: Partial<EntryRecord> = {}): JournalInput {
  return { kind: 'service', timeMs: START_MS + HOUR_MS, entry: entry(over) };
}

export function operator(
  id: string,
  action: Readonly<Record<string, unknown>> = { verb: 'acknowledge', alarm: 'stroke-low' },
): JournalInput {
  return { kind: 'operator', timeMs: START_MS, id, action };
}

export function event(over: Partial<AlarmEvent> = {}): AlarmEvent {
  return {
    kind: 'alarm',
    id: 'event-a',
    timeMs: START_MS,
    conveyor: 'enamel',
    takeup: 'tu1',
    alarm: 'stroke-low',
    priority: 'medium',
    change: 'raised',
    from: 'normal',
    to: 'unacknowledged',
    value: 45.5,
    limit: 46,
    unit: 'mm',
    ...over,
  };
}

export function day(over: Partial<SettledDayOutput> = {}): SettledDayOutput {
  return {
    kind: 'settled-day',
    date: '2026-03-02',
    conveyor: 'enamel',
    takeup: 'tu1',
    windows: 88,
    positionMm: 61.25,
    skewMm: -1.5,
    breathingMm: 3.25,
    thermalMm: 108,
    elasticMm: 2.5,
    pitches: 3200,
    elongationPct: 0.125,
    wearPerJointMm: 0.095,
    springLeftMm: 248,
    springRightMm: 249,
    strandTensionN: 650,
    flag: 'value',
    ...over,
  };
}

export function minute(over: Partial<MinuteOutput> = {}): MinuteOutput {
  return {
    kind: 'minute',
    conveyor: 'enamel',
    takeup: 'tu1',
    timeMs: START_MS,
    count: 120,
    minMm: 60,
    maxMm: 63,
    meanMm: 61.5,
    springMinMm: 247,
    tensionN: 640,
    tensionMinN: 611,
    tensionMaxN: 668,
    ...over,
  };
}

export function finding(over: Partial<FindingOutput> = {}): FindingOutput {
  return {
    kind: 'finding',
    id: 'finding-a',
    timeMs: START_MS + HOUR_MS,
    fromMs: START_MS,
    toMs: START_MS + HOUR_MS / 2,
    conveyor: 'enamel',
    takeup: 'tu1',
    finding: 'chain-removed',
    moveMm: -152.4,
    suggestion: { kind: 'chain-removed', pitches: 4 },
    text: 'The carriage was drawn in by 152.4 mm: four pitches were taken out.',
    ...over,
  };
}

/** The figures of a minute as a history shows them. */
export function figuresOf(of: MinuteOutput): HistoryPoint {
  return without(of, 'kind', 'conveyor', 'takeup');
}

/** An object without some of its fields. */
export function without<T extends object, Key extends keyof T>(whole: T, ...fields: readonly Key[]): Omit<T, Key> {
  return Object.fromEntries(Object.entries(whole).filter(([field]) => !(fields as readonly string[]).includes(field))) as Omit<T, Key>;
}
