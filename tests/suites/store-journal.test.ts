import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { JournalItem } from '../../agent/store/journal.js';
import type { StoreWriter } from '../../agent/store/store.js';
import { HOUR_MS, operator, readings, rowsOf, service, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const LEFT = 'enamel/tu1/left/position';
const RIGHT = 'enamel/tu1/right/position';

/** What the journal holds after a sequence number: readings as rows, other inputs as they are. */
async function journalled(store: StoreWriter, afterSeq = 0): Promise<readonly unknown[]> {
  const items: unknown[] = [];
  for await (const item of store.readJournal(afterSeq)) items.push(...flat(item));
  return items;
}

function flat(item: JournalItem): readonly unknown[] {
  return item.kind === 'readings' ? rowsOf(item.columns) : [item];
}

describe.each(TWINS)('the journal in $name', ({ make }) => {
  it('gives back readings and other inputs in the order in which they were taken', async () => {
    const store = await make().writer([LEFT, RIGHT]);
    expect(await store.appendReadings(readings([0, START_MS, 61.5], [1, START_MS, 62.25]))).toBe(2);
    expect(await store.appendInput(service())).toEqual({ outcome: 'added', seq: 3 });
    expect(await store.appendReadings(readings([0, START_MS - 1, 61]))).toBe(4);
    expect(await store.appendInput(operator('request-a'))).toEqual({ outcome: 'added', seq: 5 });
    expect(await journalled(store)).toEqual([
      [0, START_MS, 61.5],
      [1, START_MS, 62.25],
      { ...service(), seq: 3 },
      [0, START_MS - 1, 61],
      { ...operator('request-a'), seq: 5 },
    ]);
  });

  it('goes on after a given place, so that recovery begins where the checkpoint ends', async () => {
    const store = await make().writer([LEFT]);
    await store.appendReadings(readings([0, START_MS, 1], [0, START_MS + 1, 2], [0, START_MS + 2, 3]));
    expect(await journalled(store, 1)).toEqual([
      [0, START_MS + 1, 2],
      [0, START_MS + 2, 3],
    ]);
    expect(await journalled(store, 3)).toEqual([]);
  });

  it('holds whatever was put in, number by number, through a restart', async () => {
    const store = make();
    const any = fc.record({
      signal: fc.nat(2),
      timeMs: fc.integer({ min: 0, max: 4_102_444_800_000 }),
      // The sign of a zero is not kept.
      value: fc.double().map((value) => value + 0),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(fc.array(any, { maxLength: 40 }), { maxLength: 6 }), async (batches) => {
        const before = await store.writer(['a', 'b', 'c']);
        const from = before.lastSeq;
        const rows = batches.map((batch) => batch.map(({ signal, timeMs, value }) => [signal, timeMs, value] as const));
        for (const batch of rows) await before.appendReadings(readings(...batch));
        await before.stop();
        const after = await store.writer(['a', 'b', 'c']);
        expect(after.lastSeq).toBe(from + rows.flat().length);
        expect(await journalled(after, from)).toEqual(rows.flat());
        await after.stop();
      }),
      { numRuns: 25 },
    );
  });

  it('keeps that a payload held no number', async () => {
    const store = await make().writer([LEFT]);
    await store.appendReadings(readings([0, START_MS, NaN], [0, START_MS + 1, Infinity]));
    expect(await journalled(store)).toEqual([
      [0, START_MS, NaN],
      [0, START_MS + 1, Infinity],
    ]);
  });

  it('takes all of a batch or none: an unknown signal costs no number and leaves nothing behind', async () => {
    const store = await make().writer([LEFT]);
    await expect(store.appendReadings(readings([0, START_MS, 1], [1, START_MS, 2]))).rejects.toThrow(RangeError);
    expect(store.lastSeq).toBe(0);
    expect(await store.appendReadings(readings([0, START_MS, 3]))).toBe(1);
    expect(await journalled(store)).toEqual([[0, START_MS, 3]]);
  });

  it('takes only the rows that a batch counts, and an empty one for nothing', async () => {
    const store = await make().writer([LEFT]);
    await store.appendReadings({ ...readings([0, START_MS, 1], [0, START_MS, 2]), count: 1 });
    expect(await store.appendReadings(readings())).toBe(1);
    expect(await journalled(store)).toEqual([[0, START_MS, 1]]);
  });

  it('knows signals by name: a changed site finds its own readings and passes over those of signals it no longer has', async () => {
    const store = make();
    const before = await store.writer([LEFT, RIGHT]);
    await before.appendReadings(readings([0, START_MS, 61], [1, START_MS, 62]));
    await before.stop();
    const after = await store.writer(['enamel/running', RIGHT]);
    expect(await journalled(after)).toEqual([[1, START_MS, 62]]);
  });

  it('finds long journals in pieces', async () => {
    const store = await make().writer([LEFT]);
    const rows = Array.from({ length: 25_000 }, (_, i) => [0, START_MS + i, i] as const);
    await store.appendReadings(readings(...rows));
    expect(await journalled(store)).toEqual(rows);
  });

  describe('a repeated input', () => {
    it.each([
      { what: 'service entry', input: service(), other: service({ body: { pitches: 8 } }) },
      { what: 'operator action', input: operator('request-a'), other: operator('request-a', { verb: 'shelve' }) },
    ])('is known by its id: the same $what again is harmless, another one is refused', async ({ input, other }) => {
      const store = await make().writer();
      await store.appendInput(input);
      expect(await store.appendInput({ ...input, timeMs: input.timeMs + 5000 })).toEqual({ outcome: 'repeated', seq: 1 });
      expect(await store.appendInput(other)).toEqual({ outcome: 'id-taken' });
      expect(store.lastSeq).toBe(1);
      expect(await journalled(store)).toEqual([{ ...input, seq: 1 }]);
    });
  });

  describe('trimmed', () => {
    /** Enough for several stretches of the journal. */
    const DAY = Array.from({ length: 30_000 }, (_, i) => [0, START_MS + i * 1000, i] as const);

    async function trimmed(store: StoreWriter, beforeMs: number): Promise<number> {
      let sum = 0;
      for (let went = await store.trimReadings(beforeMs); went > 0; went = await store.trimReadings(beforeMs)) sum += went;
      return sum;
    }

    async function full(store: StoreWriter, coveredSeq: number): Promise<void> {
      for (let i = 0; i < DAY.length; i += 1000) await store.appendReadings(readings(...DAY.slice(i, i + 1000)));
      await store.writeOutputs({ checkpoint: { seq: coveredSeq, fingerprint: 'site', state: '{}' } });
    }

    it('loses old readings and keeps young ones', async () => {
      const store = await make().writer([LEFT]);
      await full(store, DAY.length);
      const middle = START_MS + 15_000_000;
      const went = await trimmed(store, middle);
      const left = (await journalled(store)) as (readonly [number, number, number])[];
      expect(left).toEqual(DAY.slice(went));
      expect(went).toBeGreaterThan(0);
      expect(left.filter(([, timeMs]) => timeMs >= middle)).toHaveLength(15_000);
    });

    it('keeps every reading that the checkpoint does not cover, however old', async () => {
      const store = await make().writer([LEFT]);
      await full(store, 15_000);
      await trimmed(store, START_MS + 365 * 24 * HOUR_MS);
      expect(await journalled(store, 15_000)).toEqual(DAY.slice(15_000));
    });

    it('keeps everything before the first checkpoint', async () => {
      const store = await make().writer([LEFT]);
      await store.appendReadings(readings([0, START_MS, 1]));
      expect(await trimmed(store, START_MS + HOUR_MS)).toBe(0);
      expect(await journalled(store)).toHaveLength(1);
    });

    it('goes on counting where it was when everything is gone', async () => {
      const store = make();
      const before = await store.writer([LEFT]);
      await full(before, DAY.length);
      expect(await trimmed(before, Infinity)).toBe(DAY.length);
      expect(await before.appendReadings(readings([0, START_MS, 1]))).toBe(DAY.length + 1);
      await before.writeOutputs({ checkpoint: { seq: DAY.length + 1, fingerprint: 'site', state: '{}' } });
      expect(await trimmed(before, Infinity)).toBe(1);
      await before.stop();
      const after = await store.writer([LEFT]);
      expect(after.lastSeq).toBe(DAY.length + 1);
      expect(await after.appendReadings(readings([0, START_MS, 2]))).toBe(DAY.length + 2);
    });

    it.each([
      { clock: 'a century ahead', wrongMs: START_MS + 3_155_760_000_000, left: 0 },
      { clock: 'at 1970', wrongMs: 0, left: 30_000 },
    ])('is not misled by a device whose clock stands $clock', async ({ wrongMs, left }) => {
      const store = await make().writer([LEFT, RIGHT]);
      const rows = DAY.map(([, timeMs, value], i) => (i % 3 === 0 ? ([1, wrongMs, value] as const) : ([0, timeMs, value] as const)));
      await store.appendReadings(readings(...rows));
      await store.writeOutputs({ checkpoint: { seq: rows.length, fingerprint: 'site', state: '{}' } });
      await trimmed(store, left === 0 ? START_MS + 365 * 24 * HOUR_MS : START_MS);
      expect(await journalled(store)).toHaveLength(left);
    });
  });

  describe('looked into by a reader', () => {
    it('shows the readings of some signals in a stretch of time', async () => {
      const store = make();
      const writer = await store.writer([LEFT, RIGHT]);
      const rows = Array.from({ length: 30_000 }, (_, i) => [i % 2, START_MS + i * 1000, i] as const);
      for (let i = 0; i < rows.length; i += 5000) await writer.appendReadings(readings(...rows.slice(i, i + 5000)));
      const reader = await store.reader();
      const seen: (readonly number[])[] = [];
      const [fromMs, toMs] = [START_MS + 4_000_000, START_MS + 26_000_000];
      for await (const columns of reader.readings(['enamel/running', RIGHT], fromMs, toMs)) seen.push(...rowsOf(columns));
      expect(seen).toEqual(rows.filter(([signal, timeMs]) => signal === 1 && timeMs >= fromMs && timeMs < toMs));
    });
  });
});
