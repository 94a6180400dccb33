import { describe, expect, it } from 'vitest';
import type { PositionSeries } from '../../agent/store/series.js';
import { day, HOUR_MS, minute, MINUTE_MS, START_MS } from '../store/samples.js';
import { TWINS } from '../store/store-twins.js';

const TAKEUP = { conveyor: 'enamel', takeup: 'tu1' };
const DAY_MS = 24 * HOUR_MS;
const YEAR_MS = 365 * DAY_MS;

/** The start of every point that has no figures. */
function gapsOf({ timeMs, minMm, maxMm, meanMm, count }: PositionSeries): readonly number[] {
  return timeMs.filter((_, i) => minMm[i] === null && maxMm[i] === null && meanMm[i] === null && count[i] === 0);
}

describe.each(TWINS)('the position of a take-up as a picture in $name', ({ make }) => {
  it('keeps a surge of seconds in a view of a year', async () => {
    const store = make();
    const writer = await store.writer();
    const hourly = Array.from({ length: 365 * 24 }, (_, i) => minute({ timeMs: START_MS + i * HOUR_MS, minMm: 60, maxMm: 63 }));
    hourly[5000] = { ...hourly[5000]!, maxMm: 101.25 };
    await writer.writeOutputs({ minutes: hourly });
    const series = await (await store.reader()).positionSeries({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + YEAR_MS, px: 1500 });
    expect(series.source).toBe('hours');
    expect(series.timeMs.length).toBeLessThanOrEqual(1500);
    expect(series.maxMm.filter((mm) => mm === 101.25)).toHaveLength(1);
    const at = series.maxMm.indexOf(101.25);
    expect(Math.abs(series.timeMs[at]! - (START_MS + 5000 * HOUR_MS))).toBeLessThan(series.widthMs);
    expect(gapsOf(series)).toEqual([]);
  });

  it('draws an hour from the minutes as they are', async () => {
    const store = make();
    const minutes = Array.from({ length: 60 }, (_, i) => minute({ timeMs: START_MS + i * MINUTE_MS, minMm: 60 + i, maxMm: 63 + i }));
    await (await store.writer()).writeOutputs({ minutes });
    const series = await (await store.reader()).positionSeries({ ...TAKEUP, fromMs: START_MS, toMs: START_MS + HOUR_MS, px: 1500 });
    expect(series).toMatchObject({ source: 'minutes', widthMs: MINUTE_MS });
    expect(series.minMm).toEqual(minutes.map(({ minMm }) => minMm));
    expect(series.timeMs).toEqual(minutes.map(({ timeMs }) => timeMs));
  });

  it('breaks where nothing was read, and not between the readings of a sensor that is read seldom', async () => {
    const store = make();
    const at = (...places: readonly number[]) => places.map((place) => minute({ timeMs: START_MS + place * MINUTE_MS }));
    const writer = await store.writer();
    await writer.writeOutputs({ minutes: at(0, 1, 2, 7, 8) });
    await writer.writeOutputs({ minutes: at(0, 10, 20, 60, 70, 80).map((one) => ({ ...one, takeup: 'tu2' })) });
    const reader = await store.reader();
    const query = { ...TAKEUP, fromMs: START_MS, toMs: START_MS + 2 * HOUR_MS, px: 1500 };
    expect(gapsOf(await reader.positionSeries(query))).toEqual([START_MS + 3 * MINUTE_MS]);
    expect(gapsOf(await reader.positionSeries({ ...query, takeup: 'tu2' }))).toEqual([START_MS + 21 * MINUTE_MS]);
  });

  it('knows how often it was read in each part of a picture: by the hour last year, by the minute since', async () => {
    const store = make();
    const hours = Array.from({ length: 30 }, (_, i) => minute({ timeMs: START_MS + i * HOUR_MS }));
    const minutes = Array.from({ length: 600 }, (_, i) => minute({ timeMs: START_MS + 30 * HOUR_MS + i * MINUTE_MS }));
    const silent = minutes.filter((_, i) => i < 200 || i >= 400);
    await (await store.writer()).writeOutputs({ minutes: [...hours, ...silent] });
    const query = { ...TAKEUP, fromMs: START_MS, toMs: START_MS + 40 * HOUR_MS, px: 81 };
    const series = await (await store.reader()).positionSeries(query);
    expect(series.widthMs).toBe(HOUR_MS / 2);
    expect(gapsOf(series)).toEqual([START_MS + 33.5 * HOUR_MS]);
  });

  it('shows the settled value of the day that the point lies in, by the days of the site', async () => {
    const store = make();
    const writer = await store.writer();
    const lateEvening = Date.parse('2026-03-02T22:30:00Z');
    const midnightInOslo = Date.parse('2026-03-02T23:30:00Z');
    await writer.writeOutputs({
      minutes: [minute({ timeMs: lateEvening }), minute({ timeMs: midnightInOslo })],
      days: [day({ date: '2026-03-02', positionMm: 61 }), day({ date: '2026-03-03', positionMm: 62 })],
    });
    const query = { ...TAKEUP, fromMs: lateEvening, toMs: midnightInOslo + MINUTE_MS, px: 1000, timezone: 'Europe/Oslo' };
    const { settledMm } = await (await store.reader()).positionSeries(query);
    expect(settledMm.filter((mm) => mm !== null)).toEqual([61, 62]);
  });

  it('is empty for a take-up without history, and refuses a picture of one pixel', async () => {
    const store = make();
    await store.writer();
    const reader = await store.reader();
    const query = { ...TAKEUP, fromMs: START_MS, toMs: START_MS + HOUR_MS, px: 100 };
    expect((await reader.positionSeries(query)).timeMs).toEqual([]);
    await expect(reader.positionSeries({ ...query, px: 1 })).rejects.toThrow(RangeError);
  });
});
