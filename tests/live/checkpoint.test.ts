import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { CheckpointMaker } from '../../agent/live/checkpoint.js';
import { recover } from '../../agent/live/recover.js';
import { Pipeline } from '../../agent/pipeline.js';
import { signalsOf } from '../../agent/site/site.js';
import type { PartOfState } from '../../agent/store/journal.js';
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

/** Writes a checkpoint. @returns the names of the parts that were written, those left as they are not among them */
async function written(maker: CheckpointMaker, store: StoreWriter): Promise<readonly string[]> {
  const checkpoint = maker.make(store.lastSeq);
  const names: string[] = [];
  const parts = (function* (): Generator<PartOfState> {
    for (const part of checkpoint.parts ?? []) {
      if (part[1] !== undefined) names.push(part[0]);
      yield part;
    }
  })();
  await store.writeOutputs({ checkpoint: { ...checkpoint, parts } });
  return names;
}

describe('the state of days', () => {
  it('is written with its past windows once a day, and comes back whole', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const pipeline = new Pipeline(site);
    const maker = new CheckpointMaker(pipeline);
    const ids = site.conveyors.map(({ id }) => id);
    const pasts = ids.map((id) => `${id}/past`);
    const checkpoint = async (): Promise<readonly string[]> => {
      const names = await written(maker, store);
      maker.done();
      const recovered = await recover(site, store);
      expect(recovered.begunAnew).toEqual([]);
      expect(JSON.stringify(recovered.pipeline.save())).toBe(JSON.stringify(pipeline.save()));
      return names;
    };
    run(pipeline, 0, 60);
    expect((await checkpoint()).toSorted()).toEqual([...ids, ...pasts].toSorted());
    run(pipeline, 60, 61);
    expect(await checkpoint()).toEqual(ids);
    // Over the end of a day, and once more where days have grown old enough to be drawn together.
    run(pipeline, 61, 68);
    expect((await checkpoint()).toSorted()).toEqual([...ids, ...pasts].toSorted());
    run(pipeline, 68, 140);
    expect((await checkpoint()).toSorted()).toEqual([...ids, ...pasts].toSorted());
    expect(await checkpoint()).toEqual(ids);
  });

  it('is written with its past again where the write before failed', async () => {
    const [site, store] = [siteOfTwo(), await openStore()];
    const pipeline = new Pipeline(site);
    const maker = new CheckpointMaker(pipeline);
    run(pipeline, 0, 30);
    // Made, and never in the store.
    for (const part of maker.make(0).parts ?? []) expect(part[1]).not.toBeUndefined();
    expect(await written(maker, store)).toHaveLength(2 * site.conveyors.length);
    expect((await recover(site, store)).pipeline.save()).toEqual(pipeline.save());
  });
});
