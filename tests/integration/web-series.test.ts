import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PendingOutputs } from '../../agent/live/outputs.js';
import { readingSeries } from '../../agent/live/reading-series.js';
import { Pipeline } from '../../agent/pipeline.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { openSqliteWriter } from '../../agent/store/sqlite-writer.js';
import type { StoreReader, StoreWriter } from '../../agent/store/store.js';
import type { SeriesAnswer } from '../../web/server/logic/answers.js';
import { feed, inOrder, readings, served, type TestInput } from '../flow/way/run.js';
import { START_MS, testSite } from '../flow/way/test-site.js';
import { startPlant, type Plant } from '../web/a-plant.js';
import { engineer, type Visitor } from '../web/a-visitor.js';

const MINUTE_MS = 60_000;
const SECOND_MS = 1000;
const FURNACE = 'line/furnace/temperature';
const at = (minutes: number): number => START_MS + minutes * MINUTE_MS;
const SITE = testSite({
  position: { period_s: 1 },
  conveyor: {
    signals: { running: { period_s: 10 } },
    zones: [{ id: 'furnace', length_mm: 60_000, reference_c: 20, temperature: { period_s: 10 }, lag_s: 600 }],
  },
});
/** A surge of four seconds draws the carriage in. */
const SURGE_MS = at(45) + 20 * SECOND_MS;
const [STOPS_MS, STARTS_MS] = [at(41), at(42.5)];
/** Nobody heard the sensors for three minutes. */
const [SILENT_MS, HEARD_MS] = [at(50), at(53)];
const END_MS = at(60);

const positionAt = (timeMs: number): number => {
  if (timeMs >= SURGE_MS && timeMs < SURGE_MS + 4 * SECOND_MS) return 22;
  return 41 + 0.4 * Math.sin(timeMs / 7000) + ((timeMs / 1000) % 7) / 100;
};
const INPUTS: readonly TestInput[] = inOrder([
  ...readings(START_MS, END_MS, 1, (timeMs) =>
    timeMs >= SILENT_MS && timeMs < HEARD_MS
      ? {}
      : { 'line/tu1/left/position': positionAt(timeMs), 'line/tu1/right/position': positionAt(timeMs) + 0.5 },
  ),
  ...readings(START_MS, END_MS, 10, (timeMs) => ({
    'line/running': timeMs >= STOPS_MS && timeMs < STARTS_MS ? 0 : 1,
    [FURNACE]: 180 + ((timeMs / 10_000) % 5),
  })),
  served(SITE, at(43), { takeup: 'tu1', kind: 'nut-turned', side: 'left', turns: 2 }),
  served(SITE, at(43), { takeup: 'tu1', kind: 'nut-turned', side: 'right', turns: 2 }),
]);

let dataDir: string;
let writer: StoreWriter;
let reader: StoreReader;
let plant: Plant;
let boss: Visitor;

beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'takeline-series-'));
  const pipeline = new Pipeline(SITE);
  writer = await openSqliteWriter({ dataDir, signals: pipeline.signals });
  const taken = INPUTS.filter((input) => input.kind === 'reading');
  await writer.appendReadings({
    count: taken.length,
    signal: Int32Array.from(taken, ({ signal }) => pipeline.signals.indexOf(signal)),
    timeMs: Float64Array.from(taken, ({ timeMs }) => timeMs),
    value: Float64Array.from(taken, ({ raw }) => raw),
  });
  const pending = new PendingOutputs();
  pending.take([...feed(pipeline, INPUTS), ...pipeline.finish()]);
  await writer.writeOutputs({ ...pending.drain(), checkpoint: { seq: writer.lastSeq, fingerprint: 'test', state: '{}' } });
  reader = await openSqliteReader({ dataDir });
  plant = await startPlant({
    site: SITE,
    history: {
      positionSeries: (query) => reader.positionSeries(query),
      conveyorCourse: (query) => reader.conveyorCourse(query),
    },
    readingSeries: (query) => readingSeries(() => openSqliteReader({ dataDir }), SITE, query),
  });
  boss = await engineer(plant.web);
});
afterAll(async () => {
  await plant.stop();
  await reader.stop();
  await writer.stop();
  rmSync(dataDir, { recursive: true });
});

const series = async (fromMs: number, toMs: number, px: number): Promise<SeriesAnswer> => {
  const response = await boss.ask('GET', `/api/takeups/line/tu1/series?from=${fromMs}&to=${toMs}&px=${px}`);
  expect(response.status).toBe(200);
  return (await response.json()) as SeriesAnswer;
};
const known = (values: readonly (number | null)[]): readonly number[] => values.filter((value) => value !== null);

describe('a take-up’s history in points finer than a minute', () => {
  it('shows a surge of four seconds as it was, in position, spring and tension', async () => {
    const fine = await series(at(44), at(47), 200);
    expect(fine).toMatchObject({ source: 'readings', widthMs: SECOND_MS });
    const deep = fine.timeMs.filter((_, i) => (fine.minMm[i] ?? 99) < 30);
    expect(deep[0]).toBe(SURGE_MS);
    expect(deep.length).toBeGreaterThanOrEqual(4);
    expect(deep.length).toBeLessThanOrEqual(5);
    // Set at 200 mm where the carriage stands at 40 mm, then two turns of 3 mm tighter.
    expect(Math.min(...known(fine.springMinMm))).toBeCloseTo(200 - 6 + (22 - 40), 6);
    const mostN = (18 * (320 - (200 - 6 + 22 - 40)) + 18 * (320 - (200 - 6 + 22.5 - 40))) / 2;
    expect(Math.max(...known(fine.tensionMaxN))).toBe(Math.ceil(mostN));
  });

  it('has the very extremes and means that were kept of the same minutes', async () => {
    const [fine, kept] = [await series(at(42), at(49), 500), await series(at(42), at(49), 8)];
    expect([fine.source, kept.source]).toEqual(['readings', 'minutes']);
    expect(kept.timeMs.length).toBeGreaterThanOrEqual(6);
    kept.timeMs.forEach((minuteMs, i) => {
      const within = fine.timeMs
        .map((_, place) => place)
        .filter((place) => Math.floor((fine.timeMs[place] ?? 0) / MINUTE_MS) * MINUTE_MS === minuteMs);
      const least = (values: readonly (number | null)[]) => Math.min(...within.map((place) => values[place] ?? Infinity));
      const most = (values: readonly (number | null)[]) => Math.max(...within.map((place) => values[place] ?? -Infinity));
      expect(within.length).toBe(60);
      expect(least(fine.minMm)).toBeCloseTo(kept.minMm[i] ?? NaN, 9);
      expect(most(fine.maxMm)).toBeCloseTo(kept.maxMm[i] ?? NaN, 9);
      expect(least(fine.springMinMm)).toBeCloseTo(kept.springMinMm[i] ?? NaN, 9);
      expect(least(fine.tensionMinN)).toBe(kept.tensionMinN[i]);
      expect(most(fine.tensionMaxN)).toBe(kept.tensionMaxN[i]);
      expect(within.reduce((sum, place) => sum + (fine.count[place] ?? 0), 0)).toBe(kept.count[i]);
    });
  });

  it('has a gap where nothing was read', async () => {
    const { timeMs, meanMm } = await series(at(49), at(54), 300);
    const gaps = timeMs.filter((_, i) => meanMm[i] === null);
    expect(gaps).toHaveLength(1);
    expect(Math.abs((gaps[0] ?? 0) - SILENT_MS)).toBeLessThanOrEqual(SECOND_MS);
  });

  it('has the temperatures, with how warm the chain was by then, and when the conveyor stood', async () => {
    const { temperatures, running, widthMs } = await series(at(40), at(44), 240);
    const [furnace] = temperatures;
    expect(furnace?.signal).toBe(FURNACE);
    expect(new Set(known(furnace?.meanC ?? []))).toEqual(new Set([180, 181, 182, 183, 184]));
    // A chain that follows ten minutes late has come near to what is measured.
    for (const chainC of known(furnace?.chainC ?? [])) expect(chainC).toBeGreaterThan(175);
    const stoodMs = (running?.stood ?? []).reduce((sum, share) => sum + share * widthMs, 0);
    expect(stoodMs).toBe(STARTS_MS - STOPS_MS);
    expect(running?.ran.at(0)).toBe(1);
  });

  it('says so and gives minutes where the readings would be too many', async () => {
    const answer = await series(at(-60 * 24 * 2), at(60), 4000);
    expect(answer).toMatchObject({ source: 'minutes', widthMs: MINUTE_MS });
    // Forty-three seconds to a pixel: nothing finer than a minute is asked for.
    expect(answer.coarse).toBeUndefined();
    expect(await series(at(-60 * 10), at(60 * 6), 4000)).toMatchObject({ source: 'readings' });
  });
});

describe('a stretch of which the readings are gone', () => {
  it('is given by the minute, and that is said', async () => {
    const gone = await startPlant({
      site: SITE,
      history: { positionSeries: (query) => reader.positionSeries(query), conveyorCourse: (query) => reader.conveyorCourse(query) },
      readingSeries: async (query) => {
        const whole = await readingSeries(() => openSqliteReader({ dataDir }), SITE, { ...query, fromMs: at(48) });
        return whole;
      },
    });
    try {
      const somebody = await engineer(gone.web);
      const response = await somebody.ask('GET', `/api/takeups/line/tu1/series?from=${at(40)}&to=${at(49)}&px=500`);
      expect(await response.json()).toMatchObject({ source: 'minutes', coarse: 'readings-gone', widthMs: MINUTE_MS });
    } finally {
      await gone.stop();
    }
  });

  it('is given by the minute where the site file has scaled the sensor otherwise since', async () => {
    const scaled = testSite({
      position: { period_s: 1, scale: { from: [0, 100], to: [10, 110] } },
      conveyor: { signals: { running: { period_s: 10 } }, zones: [] },
    });
    const other = await startPlant({
      site: scaled,
      history: { positionSeries: (query) => reader.positionSeries(query), conveyorCourse: (query) => reader.conveyorCourse(query) },
      readingSeries: (query) => readingSeries(() => openSqliteReader({ dataDir }), scaled, query),
    });
    try {
      const somebody = await engineer(other.web);
      const response = await somebody.ask('GET', `/api/takeups/line/tu1/series?from=${at(40)}&to=${at(49)}&px=500`);
      expect(await response.json()).toMatchObject({ source: 'minutes', coarse: 'other-settings' });
    } finally {
      await other.stop();
    }
  });
});
