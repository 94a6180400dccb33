import { describe, expect, it } from 'vitest';
import type { StoreReader, StoreWriter } from '../../agent/store/store.js';
import { day, event, finding, HOUR_MS, minute, MINUTE_MS, readings, rowsOf, service, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const LEFT = 'enamel/tu1/left/position';
const OTHER = 'enamel/tu2/left/position';
const RUNNING = 'enamel/running';
const SIGNALS = [LEFT, OTHER, RUNNING];
const AROUND_MS = 10 * MINUTE_MS;
const COUNT = 60_000;
/** A reading a second of each in turn, for sixteen hours. */
const ENDS_MS = START_MS + COUNT * 1000;

async function filled(writer: StoreWriter): Promise<void> {
  for (let i = 0; i < COUNT; i += 5000) {
    const rows = Array.from({ length: 5000 }, (_, k) => [(i + k) % 3, START_MS + (i + k) * 1000, ((i + k) * 7919) % 100_003] as const);
    await writer.appendReadings(readings(...rows));
  }
  await writer.writeOutputs({ checkpoint: { seq: writer.lastSeq, fingerprint: 'site', state: '{}' } });
  while (await writer.compactReadings());
}

async function trimmed(writer: StoreWriter, beforeMs: number): Promise<void> {
  while ((await writer.trimReadings(beforeMs)) > 0);
}

async function timesOf(reader: StoreReader, signal: string): Promise<readonly number[]> {
  const times: number[] = [];
  for await (const columns of reader.readings([signal], 0, Number.MAX_SAFE_INTEGER)) times.push(...rowsOf(columns).map(([, at]) => at!));
  return times;
}

describe.each(TWINS)('old readings in $name', ({ make }) => {
  it('go with their time, in blocks too', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    await filled(writer);
    const reader = await store.reader();
    await trimmed(writer, START_MS + 4 * HOUR_MS);
    const times = await timesOf(reader, LEFT);
    expect(times.at(-1)).toBeGreaterThan(ENDS_MS - 4000);
    expect(times[0]).toBeGreaterThan(START_MS);
    expect(times[0]).toBeLessThanOrEqual(START_MS + 4 * HOUR_MS + 3000);
  });

  it('stay for good ten minutes before and after an alarm that rose, a finding and work on the take-up', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    const [alarmMs, workMs, stepMs] = [START_MS + HOUR_MS, START_MS + 3 * HOUR_MS, START_MS + 5 * HOUR_MS];
    await writer.writeOutputs({
      events: [event({ id: 'a', timeMs: alarmMs }), event({ id: 'b', timeMs: alarmMs + 2 * HOUR_MS, change: 'cleared' })],
      findings: [finding({ fromMs: stepMs, toMs: stepMs + HOUR_MS / 2, timeMs: stepMs + HOUR_MS })],
    });
    await writer.appendInput(service({ timeMs: workMs }));
    await filled(writer);
    await trimmed(writer, Number.MAX_SAFE_INTEGER);
    const reader = await store.reader();
    const kept = [
      [alarmMs - AROUND_MS, alarmMs + AROUND_MS],
      [workMs - AROUND_MS, workMs + AROUND_MS],
      [stepMs - AROUND_MS, stepMs + HOUR_MS + AROUND_MS],
    ] as const;
    const wanted = (place: number) =>
      Array.from({ length: COUNT }, (_, i) => (i % 3 === place ? START_MS + i * 1000 : NaN)).filter((time) =>
        kept.some(([from, to]) => time >= from && time <= to),
      );
    const inBlocks = (times: readonly number[]) => times.filter((time) => time < START_MS + 8 * HOUR_MS);
    expect(inBlocks(await timesOf(reader, LEFT))).toEqual(wanted(0));
    expect(inBlocks(await timesOf(reader, RUNNING))).toEqual(wanted(2));
    // Nothing happened at the other take-up.
    expect(inBlocks(await timesOf(reader, OTHER))).toEqual([]);
    expect((await reader.diskUse()).recorder.readings).toBe(wanted(0).length + wanted(2).length);
  });

  it('are listed where they are kept: what, when and which take-up', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    await writer.writeOutputs({ events: [event()], findings: [finding()] });
    await writer.appendInput(service());
    const reader = await store.reader();
    const list = await reader.recorded({ limit: 10 });
    expect(list.map(({ kind, what, takeup }) => [kind, what, takeup])).toEqual([
      ['finding', 'chain-removed', 'tu1'],
      ['entry', 'chain-removed', 'tu1'],
      ['alarm', 'stroke-low', 'tu1'],
    ]);
    expect(list.at(-1)).toMatchObject({ timeMs: START_MS, fromMs: START_MS - AROUND_MS, toMs: START_MS + AROUND_MS });
    expect(await reader.recorded({ takeup: 'tu2', limit: 10 })).toEqual([]);
    expect(await reader.recorded({ limit: 1 })).toHaveLength(1);
  });

  it('are told of with how long they are kept, as the agent was last started, and how far back they and the minutes go', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    const reader = await store.reader();
    expect(await reader.diskUse()).toMatchObject({ retention: null, oldestMs: null, oldestMinuteMs: null });
    await writer.recordRetention({ rawDays: 30, minuteDays: 400 });
    expect((await reader.diskUse()).retention).toEqual({ rawDays: 30, minuteDays: 400 });
    await writer.recordRetention({ rawDays: 7.5, minuteDays: 90, maxBytes: 20 * 2 ** 30 });
    await writer.writeOutputs({ minutes: [minute({ timeMs: START_MS + MINUTE_MS }), minute({ timeMs: START_MS, takeup: 'tu2' })] });
    await writer.appendReadings(readings([0, START_MS + 5000, 1]));
    const { retention, oldestMs, oldestMinuteMs, freeBytes } = await reader.diskUse();
    expect(retention).toEqual({ rawDays: 7.5, minuteDays: 90, maxBytes: 20 * 2 ** 30 });
    expect([oldestMs, oldestMinuteMs]).toEqual([START_MS + 5000, START_MS]);
    expect(freeBytes).toBeGreaterThan(0);
  });

  it('make room, the oldest first, where the store has grown past what it may take; days and events stay', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    await writer.writeOutputs({ days: [day()], events: [event({ timeMs: START_MS + HOUR_MS })] });
    await filled(writer);
    const reader = await store.reader();
    const full = await reader.diskUse();
    const used = full.journal.bytes + full.blocks.bytes + full.recorder.bytes + full.figuresBytes;
    const room = async (bytes: number) => {
      while (await writer.makeRoom(bytes));
    };
    await room(used);
    expect((await reader.diskUse()).blocks).toEqual(full.blocks);
    await room(used - 30_000);
    const fewer = await reader.diskUse();
    expect(fewer.blocks.readings).toBeLessThan(full.blocks.readings);
    expect(fewer.oldestMs).toBeGreaterThan(full.oldestMs!);
    await room(1);
    const least = await reader.diskUse();
    expect(least.blocks.readings + least.recorder.readings).toBe(0);
    expect((await reader.alarmEvents({ limit: 5 })).total).toBe(1);
    expect(await reader.settledDays('enamel', 'tu1', '2026-01-01', '2026-12-31')).toHaveLength(1);
  });
});

describe.each(TWINS)('old minutes in $name', ({ make }) => {
  it('go with their time; their hours and days stay, also when a late minute comes', async () => {
    const store = make();
    const writer = await store.writer();
    const minutes = Array.from({ length: 5000 }, (_, i) => minute({ timeMs: START_MS + i * MINUTE_MS, maxMm: i === 7 ? 99 : 63 }));
    await writer.writeOutputs({ minutes });
    const before = START_MS + 4900 * MINUTE_MS;
    while ((await writer.trimMinutes(before)) > 0);
    await writer.writeOutputs({ minutes: [minute({ timeMs: START_MS + MINUTE_MS })] });
    const reader = await store.reader();
    const query = { conveyor: 'enamel', takeup: 'tu1', fromMs: START_MS, toMs: START_MS + 4 * 24 * HOUR_MS };
    const fine = await reader.positionSeries({ ...query, toMs: START_MS + 3 * HOUR_MS, px: 1000 });
    expect(fine.timeMs).toHaveLength(1);
    const hours = await reader.positionSeries({ ...query, px: 90 });
    expect(hours.source).toBe('hours');
    expect(hours.maxMm.filter((mm) => mm === 99)).toHaveLength(1);
    const days = await reader.positionSeries({ ...query, px: 3 });
    expect(days).toMatchObject({ source: 'days' });
    expect(days.maxMm[0]).toBe(99);
  });
});
