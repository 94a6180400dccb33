import { describe, expect, it } from 'vitest';
import type { SeriesAnswer } from '../../../../web/server/logic/answers.js';
import {
  NOTHING,
  joinHistory,
  quantitiesOf,
  rowsIn,
  spreadOf,
  stretchOf,
  type HistoryRow,
  type HistoryStretch,
} from '../../../../web/client/logic/history-series.js';

const row = (timeMs: number, mm?: number): HistoryRow => ({ timeMs, values: mm === undefined ? {} : { position: spreadOf(mm) } });
const stretch = (...rows: readonly HistoryRow[]): HistoryStretch => ({ ...NOTHING, rows });
const MINUTE = 60_000;

describe('the history of a take-up with what is heard of it now', () => {
  const stored = stretch(row(0, 90), row(MINUTE, 91));

  it('goes on from the last minute of the store, and says nothing twice', () => {
    const { rows } = joinHistory(stored, [row(MINUTE + 500, 91.2), row(2 * MINUTE, 92), row(2 * MINUTE + 500, 93)], 30_000);
    expect(rows.map(({ timeMs }) => timeMs)).toEqual([0, MINUTE, 2 * MINUTE, 2 * MINUTE + 500]);
  });

  it('has a gap where nothing was heard', () => {
    const { rows } = joinHistory(stored, [row(20 * MINUTE, 92), row(20 * MINUTE + 500, 92), row(22 * MINUTE, 92)], 30_000);
    expect(rows.map(({ values }) => values.position?.mean)).toEqual([90, 91, NaN, 92, 92, NaN, 92]);
  });

  it('begins with what is heard where the store has nothing', () => {
    expect(joinHistory(stretch(), [row(5, 90)], 30_000).rows).toEqual([row(5, 90)]);
  });

  it('gives a window its rows and one more on either side, so that lines run to its edges', () => {
    const rows = [0, 1, 2, 3, 4].map((count) => row(count * MINUTE, 90));
    expect(rowsIn(stretch(...rows), { fromMs: 1.5 * MINUTE, toMs: 2.5 * MINUTE }).map(({ timeMs }) => timeMs / MINUTE)).toEqual([1, 2, 3]);
  });

  it('knows what it has values of', () => {
    expect(quantitiesOf(stretch(row(0), row(1, 90)))).toEqual(['position']);
    expect(quantitiesOf(stretch(row(0)))).toEqual([]);
  });

  const heard = (timeMs: number, runs: boolean): HistoryRow => ({
    ...row(timeMs, 90),
    running: { fromMs: timeMs, toMs: timeMs, ran: runs ? 1 : 0, stood: runs ? 0 : 1 },
  });

  it('goes on from when the conveyor ran by the store to what was heard, and does not hold a state through silence', () => {
    const ran = { ...stored, running: [{ fromMs: 0, toMs: 2 * MINUTE, ran: 1, stood: 0 }] };
    const { running } = joinHistory(ran, [heard(2 * MINUTE + 5000, true), heard(3 * MINUTE, false), heard(9 * MINUTE, true)], 60_000);
    expect(running?.map(({ fromMs, toMs, ran: share }) => [fromMs / MINUTE, toMs / MINUTE, share])).toEqual([
      [0, 2, 1],
      [2, 3, 1],
      [3, 4, 0],
      [9, 9, 1],
    ]);
  });
});

describe('what the server answers of a stretch', () => {
  const answer: SeriesAnswer = {
    ...{ source: 'minutes', widthMs: MINUTE, timeMs: [0, MINUTE, 2 * MINUTE], count: [60, 0, 60] },
    ...{ minMm: [89, null, 88], maxMm: [92, null, 93], meanMm: [90, null, 91], settledMm: [90, null, 90], springMinMm: [247, null, null] },
    ...{ tensionN: [1260, null, 1250], tensionMinN: [1210, null, null], tensionMaxN: [1313, null, null] },
    temperatures: [
      {
        signal: 'line/furnace/temperature',
        timeMs: [0, MINUTE],
        count: [6, 6],
        minC: [1, 2],
        maxC: [3, 4],
        meanC: [2, 3],
        chainC: [null, 7],
      },
    ],
    running: { fromMs: 0, widthMs: MINUTE, ran: [1, 0.25, 0], stood: [0, 0.75, 0] },
  };
  const furnace = 'temperature line/furnace/temperature';

  it('is one row a point, each with all that is known of its time', () => {
    const { rows } = stretchOf(answer);
    expect(rows[0]).toMatchObject({
      values: {
        position: { min: 89, max: 92, mean: 90 },
        tension: { min: 1210, max: 1313, mean: 1260 },
        [furnace]: { min: 1, max: 3, mean: 2 },
      },
      running: { ran: 1, stood: 0 },
    });
    // A gap of the sensors is unknown, while the furnace was read and the conveyor stood.
    expect(rows[1]).toMatchObject({ values: { position: { mean: NaN }, [furnace]: { mean: 3, chain: 7 } }, running: { stood: 0.75 } });
    // What was written before extremes were kept has its mean; a spring that is not known stays so.
    expect(rows[2]?.values).toMatchObject({ tension: { min: 1250, max: 1250, mean: 1250 }, spring: { mean: NaN } });
    expect(rows[2]?.values[furnace]).toBeUndefined();
    expect(quantitiesOf(stretchOf(answer))).toEqual(['position', 'spring', 'tension', furnace]);
  });

  it('has no strip without a running signal', () => {
    expect(stretchOf({ ...answer, running: null }).running).toBeNull();
  });
});
