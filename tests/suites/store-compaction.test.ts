import { describe, expect, it } from 'vitest';
import type { StoreReader, StoreWriter } from '../../agent/store/store.js';
import { readings, rowsOf, service, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const SIGNALS = ['enamel/tu1/left/position', 'enamel/tu1/right/position', 'enamel/running'];
const COUNT = 45_000;
/** A minute of disorder, now and then no number, and a signal that is read seldom. */
const TAKEN = Array.from({ length: COUNT }, (_, i) => {
  const late = i % 97 === 0 ? 60_000 : 0;
  return [i % 50 === 0 ? 2 : i % 2, START_MS + i * 500 - late, i % 1009 === 0 ? NaN : 60 + (i % 321) / 100] as const;
});
const IN_TIME = TAKEN.toSorted(([, a], [, b]) => a - b);

async function filled(store: StoreWriter): Promise<void> {
  for (let i = 0; i < COUNT; i += 2500) await store.appendReadings(readings(...TAKEN.slice(i, i + 2500)));
  await covered(store);
}

function covered(store: StoreWriter): Promise<unknown> {
  return store.writeOutputs({ checkpoint: { seq: store.lastSeq, fingerprint: 'site', state: '{}' } });
}

async function seen(reader: StoreReader, fromMs = 0, toMs = Number.MAX_SAFE_INTEGER): Promise<(readonly number[])[]> {
  const rows: (readonly number[])[] = [];
  for await (const columns of reader.readings(SIGNALS, fromMs, toMs)) rows.push(...rowsOf(columns));
  return rows;
}

async function journalled(store: StoreWriter): Promise<number> {
  let count = 0;
  for await (const item of store.readJournal(0)) count += item.kind === 'readings' ? item.columns.count : 0;
  return count;
}

/** In order of time, and of signal where that is the same, as text: thousands of rows are compared quickly. */
function alike(rows: readonly (readonly number[])[]): string {
  return rows
    .toSorted(([a = 0, at = 0], [b = 0, bt = 0]) => at - bt || a - b)
    .map((row) => row.join(' '))
    .join('\n');
}

describe.each(TWINS)('readings moved into blocks in $name', ({ make }) => {
  it('are all there at every moment of it, each once', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    await filled(writer);
    const reader = await store.reader();
    let steps = 0;
    for (let more = true; more; steps++) {
      more = await writer.compactReadings();
      if (steps % 7 === 0 || !more) expect(alike(await seen(reader))).toBe(alike(IN_TIME));
    }
    expect(steps).toBeGreaterThan(10);
    expect(await journalled(writer)).toBeLessThan(31_000);
  });

  it('come in order of time, also those that came late', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    await filled(writer);
    while (await writer.compactReadings());
    const [fromMs, toMs] = [START_MS + 1_000_000, START_MS + 20_000_000];
    const times = (await seen(await store.reader(), fromMs, toMs)).map(([, timeMs]) => timeMs!);
    expect(times).toEqual(times.toSorted((a, b) => a - b));
    expect(times).toHaveLength(IN_TIME.filter(([, timeMs]) => timeMs >= fromMs && timeMs < toMs).length);
  });

  it.each([3, 13, 14, 15, 17, 25])('go on where a killed agent was after %i steps', async (steps) => {
    const store = make();
    const before = await store.writer(SIGNALS);
    await filled(before);
    for (let i = 0; i < steps; i++) await before.compactReadings();
    await before.stop();
    const after = await store.writer(SIGNALS);
    expect(after.lastSeq).toBe(COUNT);
    await after.appendReadings(readings(...TAKEN.map(([signal, timeMs, value]) => [signal, timeMs + 86_400_000, value] as const)));
    await covered(after);
    while (await after.compactReadings());
    const rows = await seen(await store.reader());
    expect(alike(rows.slice(0, COUNT))).toBe(alike(IN_TIME));
    expect(rows).toHaveLength(2 * COUNT);
  });

  it('stay rows as long as the checkpoint does not cover them, and so does what a restart looks through', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    for (let i = 0; i < COUNT; i += 2500) await writer.appendReadings(readings(...TAKEN.slice(i, i + 2500)));
    expect(await writer.compactReadings()).toBe(false);
    expect(await journalled(writer)).toBe(COUNT);
    await writer.appendInput(service());
    await covered(writer);
    while (await writer.compactReadings());
    expect(await journalled(writer)).toBeGreaterThanOrEqual(20_000);
  });

  it('take at most three bytes each, all in all', async () => {
    const store = make();
    const writer = await store.writer(SIGNALS);
    await filled(writer);
    const rows = await (await store.reader()).diskBytes();
    while (await writer.compactReadings());
    const { blocks } = await (await store.reader()).diskUse();
    expect(blocks.readings).toBeGreaterThan(20_000);
    expect(blocks.bytes / blocks.readings).toBeLessThan(3);
    expect(rows / COUNT).toBeGreaterThan(20);
  });
});
