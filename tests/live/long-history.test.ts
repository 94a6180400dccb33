import { describe, expect, it, onTestFinished } from 'vitest';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Output } from '../../agent/flow/output.js';
import { takeupNow } from '../../agent/flow/way/snapshot.js';
import { CheckpointMaker } from '../../agent/live/checkpoint.js';
import { recover } from '../../agent/live/recover.js';
import { Pipeline } from '../../agent/pipeline.js';
import type { Site } from '../../agent/site/site.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreWriter } from '../../agent/store/store.js';
import { feed, HOUR_MS, inOrder, readings, served, sides, type TestInput } from '../flow/way/run.js';
import { START_MS, testSite } from '../flow/way/test-site.js';

const DAY_MS = 24 * HOUR_MS;
const DAYS = 34;
/** Two pitches are taken out in a stop of the sixth day and written down a fortnight later; the site's own clock is an hour ahead. */
const CUT_MS = START_MS + 6 * DAY_MS;

function siteWith(others: readonly string[]): Site {
  return testSite({
    position: { period_s: 120 },
    conveyor: { signals: { running: { period_s: 120 } } },
    others: others.map((id) => ({ id })),
  });
}

/** Weeks of a chain that wears unevenly, with work on it that is written down at once, late, wrongly, and put right. */
function weeks(site: Site): TestInput[] {
  const names = site.conveyors[0]!.takeups.map(({ id }) => id);
  const read = readings(START_MS, START_MS + DAYS * DAY_MS, 120, (timeMs) => {
    const day = (timeMs - START_MS) / DAY_MS;
    const out = 60 + 1.3 * day + 0.4 * Math.sin(2.1 * Math.floor(day)) + Math.sin(timeMs / 90_000);
    const mm = out - (timeMs < CUT_MS ? 0 : 76.4 / names.length);
    const drags = day > 18 ? 0.7 * (day - 18) : 0;
    const at = Math.round(100 * mm) / 100;
    return {
      'line/running': Math.abs(timeMs - CUT_MS) < HOUR_MS || timeMs % DAY_MS < 3 * HOUR_MS ? 0 : 1,
      ...Object.assign({}, ...names.map((id) => sides(at, id))),
      'line/tu1/left/position': Math.round(100 * (at + drags / 2)) / 100,
      'line/tu1/right/position': Math.round(100 * (at - drags / 2)) / 100,
    } as Record<string, number>;
  });
  const work = (day: number, atMs: number, fields: Readonly<Record<string, unknown>>): TestInput => ({
    ...served(site, atMs, fields),
    timeMs: START_MS + day * DAY_MS,
  });
  return inOrder([
    ...read,
    served(site, START_MS + 3.4 * DAY_MS, { kind: 'nut-turned', takeup: 'tu1', side: 'left', spring_mm: 262, id: 'nut' }),
    work(19.6, CUT_MS + 600_000, { kind: 'chain-removed', pitches: 4, id: 'cut' }),
    work(22.2, START_MS + 22 * DAY_MS, { kind: 'correction', replaces: 'cut', pitches: 2, id: 'put-right' }),
    work(29.3, START_MS + 27 * DAY_MS, { kind: 'sensor-rezeroed', takeup: 'tu1', side: 'right', position_mm: 90, id: 'zero' }),
  ]);
}

async function openStore(): Promise<StoreWriter> {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-long-'));
  const store = await openSqliteWriter({ dataDir, signals: [] });
  onTestFinished(async () => {
    await store.stop();
    rmSync(dataDir, { recursive: true });
  });
  return store;
}

const pictures = ({ ways, timeMs }: Pipeline): string[] =>
  ways.flatMap((way) => way.takeups.map(({ index }) => JSON.stringify(takeupNow(way, index, timeMs))));

describe.each([{ others: [] }, { others: ['tu2'] }])('weeks of a chain over $others.length more take-ups', ({ others }) => {
  const site = siteWith(others);
  const inputs = weeks(site);

  it('say the same to an agent that was started again and again, its past days in the store, as to one that never stopped', async () => {
    const store = await openStore();
    const never = new Pipeline(site);
    let again = (await recover(site, store)).pipeline;
    let maker = new CheckpointMaker(again);
    const outputs: { readonly never: Output[]; readonly again: Output[] } = { never: [], again: [] };
    // Fractions of a day: over the end of days, in the middle, and once for three days not at all.
    const steps = [0.31, 0.9, 0.02, 1.3, 0.47, 3.1];
    for (let from = 0, step = 0; from < inputs.length; step++) {
      const untilMs = inputs[from]!.timeMs + steps[step % steps.length]! * DAY_MS;
      const next = inputs.findIndex(({ timeMs }) => timeMs > untilMs);
      const until = next < 0 ? inputs.length : next;
      const some = inputs.slice(from, until);
      outputs.never.push(...feed(never, some));
      outputs.again.push(...feed(again, some));
      await store.writeOutputs({ checkpoint: maker.make(store.lastSeq) });
      maker.done();
      if (step % 4 === 1) for (const way of again.ways) way.takeups.forEach(({ index }) => way.account.prepareDay(index));
      if (step % 2 === 0) {
        again = (await recover(site, store)).pipeline;
        maker = new CheckpointMaker(again);
      }
      expect(pictures(again)).toEqual(pictures(never));
      from = until;
    }
    const lines = (some: readonly Output[]): string[] => some.map((output) => JSON.stringify(output));
    const [told, toldAgain] = [lines(outputs.never), lines(outputs.again)];
    const differs = toldAgain.findIndex((line, i) => line !== told[i]);
    expect(toldAgain[differs], `output ${differs}`).toBe(told[differs]);
    expect(toldAgain).toHaveLength(told.length);
    expect(JSON.stringify(again.save())).toBe(JSON.stringify(never.save()));
    expect(never.finish()).toEqual(again.finish());
    // It is about something: findings and alarms were told, days given again when what was done became known, and there is a forecast.
    expect(told.filter((line) => line.startsWith('{"kind":"finding"')).length).toBeGreaterThan(1);
    expect(told.filter((line) => line.startsWith('{"kind":"settled-day"')).length).toBeGreaterThan(2 * DAYS);
    expect(pictures(never)[0]).toMatch(/"strokeOut":\{/);
  });

  it('keep no more than the last day in memory', async () => {
    const store = await openStore();
    const { pipeline } = await recover(site, store);
    const maker = new CheckpointMaker(pipeline);
    const begin = inputs.findIndex(({ timeMs }) => timeMs > START_MS + 12.5 * DAY_MS);
    feed(pipeline, inputs.slice(0, begin));
    await store.writeOutputs({ checkpoint: maker.make(store.lastSeq) });
    maker.done();
    for (const { account } of pipeline.ways) {
      for (const history of account.histories) {
        expect(history.toShelve()).toBeUndefined();
        expect(new Set(history.save('last-day').dates).size).toBe(1);
        expect(new Set(history.all.map(({ date }) => date)).size).toBe(13);
      }
    }
  });
});
