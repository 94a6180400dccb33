import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { ReplaySummary } from '../../agent/contract/replay-files.js';
import { createRecordingWriter } from '../../agent/recording/create-recording-writer.js';
import { replay, type ReplayOptions, type ReplayResult } from '../../agent/replay/replay.js';
import { summaryOf } from '../../agent/replay/summary.js';
import type { Site } from '../../agent/site/site.js';
import { scratchFolder } from '../recording/scratch.js';
import { entryOf, HOUR_MS, readings, sides, type TestInput } from '../flow/way/run.js';
import { side, START_MS, testSite } from '../flow/way/test-site.js';

const SITE = testSite();
const scratch = scratchFolder();

/** Records readings and replays them. */
async function replayed(site: Site, inputs: readonly TestInput[], options: ReplayOptions = {}): Promise<ReplayResult> {
  const path = scratch('recording.csv');
  const writer = await createRecordingWriter(path);
  for (const input of inputs) if (input.kind === 'reading') await writer.write(input.timeMs, input.signal, input.raw);
  await writer.close();
  return replay(site, path, options);
}

const hours = (count: number, read: (timeMs: number) => Record<string, number> = () => sides(60)): TestInput[] =>
  readings(START_MS, START_MS + count * HOUR_MS, 10, read);
const takeupOf = (summary: ReplaySummary): ReplaySummary['takeups'][number] => summary.takeups[0]!;

describe('a replay', () => {
  it('tells how far it has come, on the clock of the recording', async () => {
    const told: (readonly [number, number])[] = [];
    const inputs = hours(10);
    await replayed(SITE, inputs, { onProgress: (share, timeMs) => told.push([share, timeMs]) });
    expect(told.length).toBeGreaterThan(0);
    expect(told.map(([share]) => share)).toEqual(told.map(([share]) => share).sort((a, b) => a - b));
    expect(told.at(-1)).toEqual([1, inputs.at(-1)!.timeMs]);
  });

  it('stops when it is told to', async () => {
    const stop = new AbortController();
    stop.abort();
    await expect(replayed(SITE, hours(1), { signal: stop.signal })).rejects.toThrow(
      expect.objectContaining({ name: 'AbortError' }) as Error,
    );
  });

  it('knows an entry at its own time, and one from after the recording not at all', async () => {
    const cut = (atMs: number): ReplayOptions => ({ entries: [entryOf(SITE, atMs, { kind: 'chain-removed', pitches: 2 })] });
    const pitches = async (atMs: number): Promise<number> => takeupOf(summaryOf(await replayed(SITE, hours(2), cut(atMs)))).chain.pitches;
    expect(await pitches(START_MS - HOUR_MS)).toBe(3198);
    expect(await pitches(START_MS + HOUR_MS)).toBe(3198);
    expect(await pitches(START_MS + 3 * HOUR_MS)).toBe(3200);
  });

  it('gives days in order, and on a day the take-ups in the order of the site', async () => {
    const two = testSite({
      others: [{ id: 'aaa', sides: { left: side({ position: { period_s: 10 } }), right: side({ position: { period_s: 10 } }) } }],
    });
    const { days } = await replayed(
      two,
      hours(20, () => ({ ...sides(60), ...sides(80, 'aaa') })),
    );
    expect(days.map(({ date, takeup }) => `${date} ${takeup}`)).toEqual([
      '2026-01-05 tu1',
      '2026-01-05 aaa',
      '2026-01-06 tu1',
      '2026-01-06 aaa',
    ]);
  });

  it('lists the rows that the pipeline does not use with their line, and counts a spike without listing it', async () => {
    const site = testSite({ position: { period_s: 10, valid: [-5, 235] } });
    const inputs = hours(0.5).map((input, i): TestInput =>
      input.kind === 'reading' && (i === 40 || i === 101) ? { ...input, raw: i === 40 ? 300 : 140 } : input,
    );
    const { rejects, rejected, readings: rows } = await replayed(site, inputs);
    expect([...rejects]).toEqual([{ line: 42, reason: 'out-of-range' }]);
    expect(rejected).toMatchObject({ 'out-of-range': 1, spike: 1 });
    expect(rows).toBe(inputs.length);
  });
});

describe('the summary of a replay', () => {
  it('says where every take-up stands, as of its last settled window', async () => {
    const summary = summaryOf(await replayed(SITE, hours(3)));
    expect(summary).toMatchObject({
      site: 'plant',
      recording: { first: '2026-01-05T06:00:00Z', last: '2026-01-05T08:59:50Z', readings: 2160 },
    });
    expect(takeupOf(summary)).toMatchObject({
      conveyor: 'line',
      takeup: 'tu1',
      positionMm: 60,
      remainingMm: 170,
      skewMm: 0,
      breathingMm: 0,
      spring: { leftMm: 220, rightMm: 220, carriageForceN: 3600, strandTensionN: 1800, marginToSolidMm: 70 },
      chain: { pitches: 3200, removedPitches: 0, thermalMm: 0, elasticMm: 0 },
      trend: { strokeOut: null, springSlack: null, wearLimit: null },
    });
    // 20 mm of travel at a gain of 2 on 3200 · 76.2 mm of chain.
    expect(takeupOf(summary).chain.elongationPct).toBeCloseTo((100 * 40) / (3200 * 76.2), 6);
    expect(takeupOf(summary).trend.why).toBeTruthy();
  });

  it('leaves unknown what a lost sensor feeds', async () => {
    const lost = summaryOf(
      await replayed(
        SITE,
        hours(3, (timeMs) => (timeMs < START_MS + 2 * HOUR_MS ? sides(60) : { 'line/tu1/right/position': 60 })),
      ),
    );
    expect(takeupOf(lost)).toMatchObject({
      positionMm: null,
      remainingMm: null,
      skewMm: null,
      breathingMm: null,
      spring: { leftMm: null, carriageForceN: null, strandTensionN: null, marginToSolidMm: null },
    });
  });

  it('leaves unknown what a lost spring sensor feeds, and the carriage as it is', async () => {
    const site = testSite({
      takeup: {
        sides: { left: side({ position: { period_s: 10 }, spring: { period_s: 10 } }), right: side({ position: { period_s: 10 } }) },
      },
    });
    const lost = summaryOf(
      await replayed(
        site,
        hours(3, (timeMs) => ({ ...sides(60), ...(timeMs < START_MS + 2 * HOUR_MS ? { 'line/tu1/left/spring': 220 } : {}) })),
      ),
    );
    expect(takeupOf(lost)).toMatchObject({
      positionMm: 60,
      spring: { leftMm: null, rightMm: 220, carriageForceN: null, strandTensionN: null, marginToSolidMm: null },
    });
  });

  it('of a recording in which nothing settled says what is read', async () => {
    const short = summaryOf(await replayed(SITE, hours(0.1)));
    expect(takeupOf(short)).toMatchObject({
      asOf: '2026-01-05T06:05:50Z',
      positionMm: 60,
      breathingMm: null,
      chain: { elongationPct: null },
    });
  });

  it('can be read back as JSON: nothing in it is no number', async () => {
    const summary = summaryOf(
      await replayed(
        SITE,
        readings(START_MS, START_MS + 60_000, 10, () => ({ 'line/tu1/left/position': 60 })),
      ),
    );
    expect(JSON.parse(JSON.stringify(summary))).toEqual(summary);
    expect(JSON.stringify(summary)).not.toMatch(/NaN|undefined/u);
  });
});

describe('a recording of a site with nothing known of its signals', () => {
  it('is all unknown signals, and still a recording', async () => {
    const { rejected, days, alarms } = await replayed(SITE, [
      { kind: 'reading', timeMs: START_MS, signal: join('paint', 'tu1', 'left', 'position'), raw: 60 },
      { kind: 'reading', timeMs: START_MS + 1000, signal: 'line/tu1/middle/position', raw: 60 },
    ]);
    expect(rejected['unknown-signal']).toBe(2);
    expect([days, alarms]).toEqual([[], []]);
  });
});
