import { describe, expect, it } from 'vitest';
import { Keeper } from '../../agent/live/keeper.js';
import { Pipeline } from '../../agent/pipeline.js';
import { TakelineFault } from '../../agent/process/fault.js';
import type { AlarmEvent, OutputBatch } from '../../agent/store/history.js';
import type { Appended, JournalInput, ReadingColumns } from '../../agent/store/journal.js';
import type { StoreWriter } from '../../agent/store/store.js';
import type { AlarmOutput } from '../../agent/flow/output.js';
import { siteOfTwo } from '../contract/sites.js';

/** A store in memory that can be made to refuse. */
class FakeStore {
  lastSeq = 0;
  refuses: 'nothing' | 'readings' | 'outputs' = 'nothing';
  readonly journal: number[] = [];
  readonly inputs = new Map<string, JournalInput>();
  readonly events: AlarmEvent[] = [];
  checkpointAt: number | undefined;

  appendReadings({ count, value }: ReadingColumns): Promise<number> {
    if (this.refuses === 'readings') return Promise.reject(new TakelineFault('store-full', 'the disk is full'));
    this.journal.push(...value.subarray(0, count));
    this.lastSeq += count;
    return Promise.resolve(this.lastSeq);
  }

  appendInput(input: JournalInput): Promise<Appended> {
    const id = input.kind === 'service' ? input.entry.id : input.id;
    if (this.inputs.has(id)) return Promise.resolve({ outcome: 'repeated', seq: 1 });
    this.inputs.set(id, input);
    return Promise.resolve({ outcome: 'added', seq: ++this.lastSeq });
  }

  writeOutputs({ events = [], checkpoint }: OutputBatch): Promise<readonly string[]> {
    if (this.refuses === 'outputs') return Promise.reject(new TakelineFault('store-full', 'the disk is full'));
    const fresh = events.filter(({ id }) => !this.events.some((known) => known.id === id));
    this.events.push(...fresh);
    if (checkpoint) this.checkpointAt = checkpoint.seq;
    return Promise.resolve(fresh.map(({ id }) => id));
  }
}

function alarm(timeMs: number): AlarmOutput {
  return {
    ...{ kind: 'alarm', timeMs, conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end', priority: 'high', change: 'raised' },
    ...{ from: 'normal', to: 'unacknowledged', value: 10, limit: 11.5, unit: 'mm' },
  };
}

function setUp() {
  const store = new FakeStore();
  const published: number[] = [];
  const said: string[] = [];
  const say = (sentence: string): void => void said.push(sentence);
  const publisher = {
    alarms: (events: readonly AlarmEvent[]) => void published.push(...events.map(({ timeMs }) => timeMs)),
    findings: () => undefined,
  };
  const well: number[] = [];
  const pipeline = new Pipeline(siteOfTwo());
  const log = { info: say, warn: say, error: say };
  const keeper = new Keeper(store as unknown as StoreWriter, pipeline, publisher, log, () => void well.push(store.lastSeq));
  return { store, published, said, well, pipeline, keeper };
}

describe('what is kept', () => {
  it('is journalled first, then written, then published', async () => {
    const { store, published, keeper } = setUp();
    keeper.journal(0, 1000, 61);
    keeper.take([alarm(1000)]);
    expect([store.journal, store.events, published]).toEqual([[], [], []]);
    await keeper.flush();
    expect(store.journal).toEqual([61]);
    expect(store.events.map(({ id }) => id)).toEqual(['enamel|tu1||stroke-end|raised|1000']);
    expect(published).toEqual([1000]);
  });

  it('is published once, though it is worked out twice', async () => {
    const { published, keeper } = setUp();
    keeper.take([alarm(1000)]);
    await keeper.flush();
    keeper.take([alarm(1000), alarm(2000)]);
    await keeper.flush();
    expect(published).toEqual([1000, 2000]);
  });

  it('is published again where an earlier run wrote it and may not have come to tell of it', async () => {
    const { store, published, keeper } = setUp();
    store.events.push({ ...alarm(1000), id: 'enamel|tu1||stroke-end|raised|1000' });
    keeper.outputs.take([alarm(1000)]);
    await keeper.flush();
    expect(published).toEqual([1000]);
  });
});

describe('a store that takes nothing', () => {
  it.each(['readings', 'outputs'] as const)(
    'of %s: alarms go out once all the same, and nothing is lost when it is well again',
    async (what) => {
      const { store, published, said, well, keeper } = setUp();
      await keeper.flush();
      store.refuses = what;
      keeper.journal(0, 1000, 61);
      keeper.take([alarm(1000)]);
      await expect(keeper.flush()).rejects.toThrow('the disk is full');
      keeper.journal(0, 2000, 62);
      await expect(keeper.flush()).rejects.toThrow('the disk is full');
      expect(published).toEqual([1000]);
      expect(said).toEqual(['the store takes no readings: the disk is full; they are held in memory until it does']);
      expect(well).toEqual([]);

      store.refuses = 'nothing';
      keeper.take([alarm(3000)]);
      await keeper.flush();
      expect(store.journal).toEqual([61, 62]);
      expect(store.events.map(({ timeMs }) => timeMs)).toEqual([1000, 3000]);
      expect(published).toEqual([1000, 3000]);
      expect(said.at(-1)).toBe('the store takes readings again');
      expect(well).toEqual([2]);
    },
  );

  it('does not keep the agent from ending', async () => {
    const { store, keeper } = setUp();
    store.refuses = 'readings';
    keeper.journal(0, 1000, 61);
    await expect(keeper.close()).resolves.toBeUndefined();
  });
});

describe('the state of the pipeline', () => {
  it('is saved with the number of the last thing journalled', async () => {
    const { store, keeper } = setUp();
    for (const value of [61, 62, 63]) keeper.journal(0, value * 1000, value);
    await keeper.flush(true);
    expect(store.checkpointAt).toBe(3);
  });
});

describe('an input that is no reading', () => {
  const input: JournalInput = {
    kind: 'service',
    timeMs: 5000,
    entry: {
      ...{ id: 'monday', timeMs: 4000, conveyor: 'enamel', kind: 'chain-removed' },
      body: { time: '2026-02-02T06:00:00Z', conveyor: 'enamel', kind: 'chain-removed', pitches: 40 },
    },
  };
  const pitches = (pipeline: Pipeline): number | undefined => pipeline.ways[0]?.account.ledger.eraAt(Infinity).pitches;

  it('is journalled behind the readings that came before it, and taken once however often it comes', async () => {
    const { store, pipeline, keeper } = setUp();
    keeper.journal(0, 1000, 61);
    expect(await keeper.enter(input)).toBe('added');
    expect([store.journal, store.lastSeq, pitches(pipeline)]).toEqual([[61], 2, 3160]);
    expect(await keeper.enter(input)).toBe('repeated');
    expect([store.lastSeq, pitches(pipeline)]).toEqual([2, 3160]);
  });

  it('is not taken where what came before it cannot be journalled', async () => {
    const { store, pipeline, keeper } = setUp();
    store.refuses = 'readings';
    keeper.journal(0, 1000, 61);
    await expect(keeper.enter(input)).rejects.toThrow('the disk is full');
    expect([store.inputs.size, pitches(pipeline)]).toEqual([0, 3200]);
  });
});
