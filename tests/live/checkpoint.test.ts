import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { CheckpointMaker } from '../../agent/live/checkpoint.js';
import { recover } from '../../agent/live/recover.js';
import { shapeOf } from '../../agent/flow/way/refit.js';
import { Pipeline } from '../../agent/pipeline.js';
import { signalsOf } from '../../agent/site/site.js';
import { WINDOW_NUMBERS } from '../../agent/flow/ledger/packed-windows.js';
import type { PartOfState, PastDaysOfTakeup } from '../../agent/store/journal.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreWriter } from '../../agent/store/store.js';
import { siteOfTwo } from '../contract/sites.js';

const BEGIN_MS = Date.parse('2026-02-02T06:00:00Z');
const HOUR_MS = 3_600_000;
const EVERY_MS = 20_000;

async function openStore(): Promise<StoreWriter> {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-checkpoint-'));
  const store = await openSqliteWriter({ dataDir, signals: signalsOf(siteOfTwo()).map(({ name }) => name) });
  onTestFinished(async () => {
    await store.stop();
    rmSync(dataDir, { recursive: true });
  });
  return store;
}

/** Both sides of every take-up are read for some hours, to the hundredth. */
function run(pipeline: Pipeline, fromHour: number, toHour: number): void {
  for (let timeMs = BEGIN_MS + fromHour * HOUR_MS; timeMs < BEGIN_MS + toHour * HOUR_MS; timeMs += EVERY_MS) {
    const mm = Math.round(100 * (60 + (timeMs - BEGIN_MS) / 1e8 + 2 * Math.sin(timeMs / 300_000))) / 100;
    for (const signal of pipeline.signals.keys()) pipeline.read(signal, timeMs, mm + signal / 100, []);
  }
}

interface Written {
  /** Names of all parts, and of those that were written. */
  readonly parts: readonly string[];
  readonly anew: readonly string[];
  /** Days that were put onto the shelves, by take-up. */
  readonly days: Readonly<Record<string, readonly string[]>>;
}

/** Writes a checkpoint. @returns what was in it */
async function written(maker: CheckpointMaker, store: StoreWriter): Promise<Written> {
  const checkpoint = maker.make(store.lastSeq);
  const [names, anew]: [string[], string[]] = [[], []];
  const days: Record<string, readonly string[]> = {};
  const parts = (function* (): Generator<PartOfState> {
    for (const part of checkpoint.parts ?? []) {
      names.push(part[0]);
      if (part[1] !== undefined) anew.push(part[0]);
      yield part;
    }
  })();
  const pastDays = (function* (): Generator<PastDaysOfTakeup> {
    for (const past of checkpoint.pastDays ?? []) {
      days[`${past.conveyor}/${past.takeup}`] = past.days.map(({ date, numbers }) => `${date} ${numbers.length / WINDOW_NUMBERS.length}`);
      yield past;
    }
  })();
  await store.writeOutputs({ checkpoint: { ...checkpoint, parts, pastDays } });
  return { parts: names, anew, days };
}

describe('the state of days', () => {
  it('is written without its past days, which go onto the shelf once, and comes back whole', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const { pipeline } = await recover(site, store);
    const maker = new CheckpointMaker(pipeline);
    const ids = site.conveyors.flatMap(({ id }) => [id, `${id}/account`]);
    const checkpoint = async (): Promise<readonly string[] | undefined> => {
      const { parts, days } = await written(maker, store);
      maker.done();
      expect(parts).toEqual(ids);
      const recovered = await recover(site, store);
      expect(recovered.begunAnew).toEqual([]);
      expect(JSON.stringify(recovered.pipeline.save())).toBe(JSON.stringify(pipeline.save()));
      const [first, ...others] = Object.values(days);
      for (const other of others) expect(other).toEqual(first);
      return first;
    };
    run(pipeline, 0, 60);
    expect(await checkpoint()).toEqual(['2026-02-02 98', '2026-02-03 140']);
    run(pipeline, 60, 61);
    expect(await checkpoint()).toBeUndefined();
    run(pipeline, 61, 68);
    expect(await checkpoint()).toEqual(['2026-02-04 139']);
    // Over the end of days, the first of which have grown old and are drawn together.
    run(pipeline, 68, 140);
    expect(await checkpoint()).toEqual(['2026-02-02 1', '2026-02-03 1', '2026-02-05 139', '2026-02-06 140', '2026-02-07 139']);
    expect(await checkpoint()).toBeUndefined();
  });

  it('is written anew each time but for the account of the chain, which is when a window has settled since', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const { pipeline } = await recover(site, store);
    const maker = new CheckpointMaker(pipeline);
    const [ids, all] = [site.conveyors.map(({ id }) => id), site.conveyors.flatMap(({ id }) => [id, `${id}/account`])];
    const checkpoint = async (isKept = true): Promise<readonly string[]> => {
      const { parts, anew } = await written(maker, store);
      if (isKept) maker.done();
      expect(parts).toEqual(all);
      expect((await recover(site, store)).pipeline.save()).toEqual(pipeline.save());
      return anew;
    };
    run(pipeline, 0, 2.1);
    expect(await checkpoint()).toEqual(all);
    run(pipeline, 2.1, 2.2);
    expect(await checkpoint()).toEqual(ids);
    run(pipeline, 2.2, 2.3);
    expect(await checkpoint(false)).toEqual(all);
    // Nobody said that the last one is in the store.
    run(pipeline, 2.3, 2.31);
    expect(await checkpoint()).toEqual(all);
    expect(await checkpoint()).toEqual(ids);
    // A program that was started again knows not what the store has.
    expect([...(new CheckpointMaker(pipeline).make(store.lastSeq).parts ?? [])].every(([, state]) => state !== undefined)).toBe(true);
  });

  it('is taken up from a version that had account and readings in one', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const { pipeline } = await recover(site, store);
    run(pipeline, 0, 3);
    const checkpoint = new CheckpointMaker(pipeline).make(0);
    const parts = pipeline.ways.map((way): PartOfState => {
      return [way.conveyor.id, JSON.stringify({ way: way.save(), shape: shapeOf(way.conveyor) })];
    });
    await store.writeOutputs({ checkpoint: { ...checkpoint, parts, pastDays: [] } });
    const recovered = await recover(site, store);
    expect(recovered.begunAnew).toEqual([]);
    expect(recovered.pipeline.save()).toEqual(pipeline.save());
  });

  it('is written with its past days again where the write before failed', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const { pipeline } = await recover(site, store);
    const maker = new CheckpointMaker(pipeline);
    run(pipeline, 0, 30);
    // Made, and never in the store.
    const failed = [...(maker.make(0).pastDays ?? [])];
    expect(failed).toHaveLength(site.conveyors.flatMap(({ takeups }) => takeups).length);
    expect(Object.keys((await written(maker, store)).days)).toHaveLength(failed.length);
    expect((await recover(site, store)).pipeline.save()).toEqual(pipeline.save());
  });

  it('takes nothing for its own that lies on the shelf of a take-up that is new', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const { pipeline: before } = await recover(site, store);
    run(before, 0, 60);
    await written(new CheckpointMaker(before), store);
    // The state is lost, as when a conveyor was taken out of the site file and put in again.
    const anew = new Pipeline(site, undefined, undefined, (conveyor, takeup) => store.pastDays(conveyor, takeup));
    const histories = anew.ways.flatMap(({ account }) => account.histories);
    run(anew, 200, 201);
    for (const history of histories) expect(history.all).toHaveLength(5);
    const maker = new CheckpointMaker(anew);
    await written(maker, store);
    maker.done();
    for (const history of histories) expect(history.all).toHaveLength(5);
  });
});
