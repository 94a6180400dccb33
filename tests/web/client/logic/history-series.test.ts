import { describe, expect, it } from 'vitest';
import { joinHistory, quantitiesOf, rowsIn, spreadOf, type HistoryRow } from '../../../../web/client/logic/history-series.js';

const row = (timeMs: number, mm?: number): HistoryRow => ({ timeMs, values: mm === undefined ? {} : { position: spreadOf(mm) } });
const MINUTE = 60_000;

describe('the history of a take-up with what is heard of it now', () => {
  const stored = { widthMs: MINUTE, rows: [row(0, 90), row(MINUTE, 91)] };

  it('goes on from the last minute of the store, and says nothing twice', () => {
    const { rows } = joinHistory(stored, [row(MINUTE + 500, 91.2), row(2 * MINUTE, 92), row(2 * MINUTE + 500, 93)], 30_000);
    expect(rows.map(({ timeMs }) => timeMs)).toEqual([0, MINUTE, 2 * MINUTE, 2 * MINUTE + 500]);
  });

  it('has a gap where nothing was heard', () => {
    const { rows } = joinHistory(stored, [row(20 * MINUTE, 92), row(20 * MINUTE + 500, 92), row(22 * MINUTE, 92)], 30_000);
    expect(rows.map(({ values }) => values.position?.mean)).toEqual([90, 91, undefined, 92, 92, undefined, 92]);
  });

  it('begins with what is heard where the store has nothing', () => {
    expect(joinHistory({ widthMs: MINUTE, rows: [] }, [row(5, 90)], 30_000).rows).toEqual([row(5, 90)]);
  });

  it('gives a window its rows and one more on either side, so that lines run to its edges', () => {
    const rows = [0, 1, 2, 3, 4].map((count) => row(count * MINUTE, 90));
    expect(rowsIn({ widthMs: MINUTE, rows }, { fromMs: 1.5 * MINUTE, toMs: 2.5 * MINUTE }).map(({ timeMs }) => timeMs / MINUTE)).toEqual([
      1, 2, 3,
    ]);
  });

  it('knows what it has values of', () => {
    expect(quantitiesOf({ widthMs: MINUTE, rows: [row(0), row(1, 90)] })).toEqual(['position']);
    expect(quantitiesOf({ widthMs: MINUTE, rows: [row(0)] })).toEqual([]);
  });
});
