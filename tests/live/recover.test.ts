import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { CheckpointMaker, fingerprintOf } from '../../agent/live/checkpoint.js';
import { inputOf, recover } from '../../agent/live/recover.js';
import { startInput } from '../../agent/live/start-input.js';
import { shapeOf } from '../../agent/flow/way/refit.js';
import type { Output } from '../../agent/flow/output.js';
import { Pipeline } from '../../agent/pipeline.js';
import { signalsOf, type Conveyor, type Side, type Signal, type Site, type Takeup } from '../../agent/site/site.js';
import type { JournalInput } from '../../agent/store/journal.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreWriter } from '../../agent/store/store.js';
import { siteOfTwo } from '../contract/sites.js';

const BEGIN_MS = Date.parse('2026-02-02T06:00:00Z');
const SECONDS = 120;
const ENTERED_AT = 60;

const ENTRY: JournalInput = {
  kind: 'service',
  timeMs: BEGIN_MS + ENTERED_AT * 1000,
  entry: {
    ...{ id: 'monday', timeMs: BEGIN_MS, conveyor: 'enamel', kind: 'chain-removed' },
    body: { time: '2026-02-02T06:00:00Z', conveyor: 'enamel', kind: 'chain-removed', pitches: 40, id: 'monday' },
  },
};

async function openStore(site: Site): Promise<StoreWriter> {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-recover-'));
  const store = await openSqliteWriter({ dataDir, signals: signalsOf(site).map(({ name }) => name) });
  onTestFinished(async () => {
    await store.stop();
    rmSync(dataDir, { recursive: true });
  });
  return store;
}

/** Runs two minutes of a carriage near its stop, journalled as they come; a checkpoint is taken after so many seconds. */
async function live(site: Site, store: StoreWriter, checkpointAt: number | undefined): Promise<{ pipeline: Pipeline; outputs: Output[] }> {
  const pipeline = new Pipeline(site);
  const outputs: Output[] = [];
  for (let second = 0; second < SECONDS; second++) {
    const timeMs = BEGIN_MS + second * 1000;
    if (second === ENTERED_AT) {
      await store.appendInput(ENTRY);
      const input = inputOf(ENTRY);
      if (input) outputs.push(...pipeline.advance(input));
    }
    const batch = { count: 2, signal: Int32Array.of(0, 1), timeMs: Float64Array.of(timeMs, timeMs), value: Float64Array.of(222, 221) };
    await store.appendReadings(batch);
    for (const i of [0, 1]) pipeline.read(i, timeMs, batch.value[i]!, outputs);
    if (second === checkpointAt) {
      await store.writeOutputs({ checkpoint: new CheckpointMaker(pipeline).make(store.lastSeq) });
      outputs.length = 0;
    }
  }
  return { pipeline, outputs };
}

/** The conveyors with something done to one of them. */
function altered(site: Site, id: string, change: (conveyor: Conveyor) => Partial<Conveyor>): Site {
  return { ...site, conveyors: site.conveyors.map((conveyor) => (conveyor.id === id ? { ...conveyor, ...change(conveyor) } : conveyor)) };
}

function withRunning(site: Site): Site {
  const [position] = signalsOf(site);
  const running: Signal = { ...position!, name: 'enamel/running', topic: 'enamel/running', quantity: 'running' };
  return altered(site, 'enamel', () => ({ running }));
}

function withThird(site: Site): Site {
  return altered(site, 'dryer', ({ takeups }) => ({
    takeups: [{ ...takeups[0]!, id: 'middle', sides: renamed(takeups[0]!, 'middle') }, ...takeups],
  }));
}

function turnedRound(site: Site): Site {
  return altered(site, 'dryer', ({ takeups }) => ({ takeups: [takeups[1]!] }));
}

function renamed({ id, sides }: Takeup, to: string): Takeup['sides'] {
  const named = (side: Side): Side => ({ ...side, position: { ...side.position, name: side.position.name.replace(`/${id}/`, `/${to}/`) } });
  return { left: named(sides.left), right: named(sides.right) };
}

/** Signals that are called lost at a time long after the last reading, by an agent that takes up what is in the store. */
async function lostAt(site: Site, store: StoreWriter, timeMs: number): Promise<readonly (string | undefined)[]> {
  const { pipeline } = await recover(site, store);
  const outputs = pipeline.advance({ kind: 'tick', timeMs });
  return outputs.flatMap((output) => (output.kind === 'alarm' && output.alarm === 'signal-lost' ? [output.signal] : []));
}

describe('an agent that starts again', () => {
  it('knows from the journal that nobody listened, and blames no signal for the silence', async () => {
    const site = siteOfTwo();
    const store = await openStore(site);
    await live(site, store, 90);
    const beganMs = BEGIN_MS + 3600_000;
    const read = signalsOf(site).slice(0, 2);
    expect(await lostAt(site, store, beganMs + 1000)).toEqual(expect.arrayContaining(read.map(({ name }) => name)));
    expect(await store.appendInput(startInput(beganMs))).toMatchObject({ outcome: 'added' });
    expect(await lostAt(site, store, beganMs + 1000)).toEqual([]);
    expect(await lostAt(site, store, beganMs + 3600_000)).toEqual(expect.arrayContaining(read.map(({ name }) => name)));
  });

  it.each([undefined, 0, 30, ENTERED_AT, 90, SECONDS - 1])(
    'stands where it stood, with the outputs since its checkpoint (taken at second %s) worked out again',
    async (checkpointAt) => {
      const site = siteOfTwo();
      const store = await openStore(site);
      const { pipeline, outputs } = await live(site, store, checkpointAt);
      const recovered = await recover(site, store);
      expect(recovered.pipeline.save()).toEqual(pipeline.save());
      expect(recovered.outputs).toEqual(outputs);
      expect(recovered.begunAnew).toEqual([]);
      expect(recovered.known.has('monday')).toBe((checkpointAt ?? -1) < ENTERED_AT);
      expect(recovered.recent.admit(1, BEGIN_MS + (SECONDS - 1) * 1000)).toBe(false);
      expect(recovered.recent.admit(1, BEGIN_MS + SECONDS * 1000)).toBe(true);
    },
  );

  it.each([
    { what: 'a sensor is added', change: withRunning },
    { what: 'a take-up is added', change: withThird },
    { what: 'take-ups change places and one goes', change: turnedRound },
  ])('keeps what it knew when $what in the site file: filters, alarms and the account of the chain', async ({ change }) => {
    const site = siteOfTwo();
    const store = await openStore(site);
    const { pipeline } = await live(site, store, SECONDS - 1);
    const before = pipeline.save();
    const changed = change(site);
    const recovered = await recover(changed, store);
    expect(recovered.begunAnew).toEqual([]);
    const after = recovered.pipeline.save();
    expect(recovered.pipeline.ways[0]?.account.ledger.eraAt(Infinity).pitches).toBe(3160);
    expect(after.ways['enamel']?.alarms).toEqual(before.ways['enamel']?.alarms);
    // Every take-up that was there takes up its own, whatever its place.
    for (const [index, way] of recovered.pipeline.ways.entries()) {
      const old = pipeline.ways[index]!;
      for (const [place, { id }] of way.conveyor.takeups.entries()) {
        const then = old.conveyor.takeups.findIndex((takeup) => takeup.id === id);
        if (then < 0) continue;
        expect(after.ways[way.conveyor.id]?.tracks[place]).toEqual(before.ways[way.conveyor.id]?.tracks[then]);
        expect(after.ways[way.conveyor.id]?.takeups[place]).toEqual(before.ways[way.conveyor.id]?.takeups[then]);
      }
    }
    expect(() => recovered.pipeline.advance({ kind: 'tick', timeMs: BEGIN_MS + 86_400_000 })).not.toThrow();
  });

  it('takes up a state of an early version, which knew only names', async () => {
    const site = siteOfTwo();
    const store = await openStore(site);
    const { pipeline } = await live(site, store, undefined);
    const shapes = Object.fromEntries(
      site.conveyors.map((conveyor) => {
        const { takeups, signals } = shapeOf(conveyor);
        return [conveyor.id, JSON.stringify([takeups, signals])];
      }),
    );
    const state = JSON.stringify({ pipeline: pipeline.save(), shapes });
    await store.writeOutputs({ checkpoint: { seq: store.lastSeq, fingerprint: fingerprintOf(site), state } });
    expect((await recover(site, store)).pipeline.save()).toEqual(pipeline.save());
    expect((await recover(withRunning(site), store)).begunAnew).toEqual([]);
    expect((await recover(withThird(site), store)).begunAnew).toEqual([]);
    // Where the one that is gone stood at its reference is not in it.
    expect((await recover(turnedRound(site), store)).begunAnew).toEqual(['dryer']);
  });

  it('keeps its state through a change of names and set-points', async () => {
    const site = siteOfTwo();
    const store = await openStore(site);
    const { pipeline } = await live(site, store, SECONDS - 1);
    const [enamel, ...others] = site.conveyors;
    const takeups = enamel!.takeups.map((takeup) => ({ ...takeup, location: 'moved', limits: { 'stroke-low': { remaining_mm: 60 } } }));
    const changed: Site = { ...site, name: 'Renamed', conveyors: [{ ...enamel!, takeups }, ...others] };
    const recovered = await recover(changed, store);
    expect(recovered.begunAnew).toEqual([]);
    // What it says of which conveyor its days and trends are is another: they are worked out anew.
    expect(unmarked(recovered.pipeline)).toEqual(unmarked(pipeline));
  });
});

function unmarked(pipeline: Pipeline): unknown {
  return JSON.parse(JSON.stringify(pipeline.save(), (key, value: unknown) => (key === 'mark' ? undefined : value)));
}
