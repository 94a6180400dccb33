import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ReadingBatch } from '../../agent/recording/reading-batch.js';
import { TimeOrder } from '../../agent/recording/time-order.js';
import { listed, rowsOf } from './read-all.js';

type Row = readonly [timeMs: number, signal: number, value: number];

const SIGNALS = 3;

/** Runs rows, the first of which stands on line 2, through the order. */
function order(rows: readonly Row[], capacity: number) {
  const rejects: { readonly line: number; readonly reason: string }[] = [];
  const sorter = new TimeOrder(SIGNALS, (line, reason) => rejects.push({ line, reason }), capacity);
  const batches: ReadingBatch[] = [];
  rows.forEach(([timeMs, signal, value], index) => {
    sorter.add(timeMs, signal, value, index + 2);
    batches.push(...sorter.takeReady());
  });
  sorter.finish();
  batches.push(...sorter.takeReady());
  return { ...rowsOf(batches), rejected: listed(rejects) };
}

/** What must come out, worked out with no thought of speed or memory. */
function orderPlainly(rows: readonly Row[]) {
  let newest = -Infinity;
  const rejects: { readonly line: number; readonly reason: string }[] = [];
  const inTime = rows.flatMap((row, index) => {
    const line = index + 2;
    newest = Math.max(newest, row[0]);
    if (row[0] >= newest - 60_000) return [{ row, line }];
    if (!Number.isNaN(row[2])) rejects.push({ line, reason: 'late' });
    return [];
  });
  inTime.sort((a, b) => a.row[0] - b.row[0]);
  const kept: typeof inTime = [];
  for (const one of inTime) {
    const at = kept.findIndex(({ row }) => row[0] === one.row[0] && row[1] === one.row[1]);
    if (at < 0) kept.push(one);
    else if (Number.isNaN(one.row[2])) continue;
    else if (Number.isNaN(kept[at]!.row[2])) kept[at] = one;
    else rejects.push({ line: one.line, reason: 'duplicate' });
  }
  return { taken: kept.map(({ row }) => row), lines: kept.map(({ line }) => line), rejected: listed(rejects) };
}

describe('rows out of order', () => {
  it('are sorted in up to 60 s behind the newest, and late beyond', () => {
    const { taken, rejected } = order(
      [
        [100_000, 0, 1],
        [40_000, 0, 2],
        [39_999, 0, 3],
        [100_001, 0, 4],
        [40_000, 1, 5],
      ],
      64,
    );
    expect(taken.map(([, , value]) => value)).toEqual([2, 1, 4]);
    expect(rejected).toEqual(['4 late', '6 late']);
  });

  it('keep the order of the file where their times are equal', () => {
    const { lines } = order(
      [
        [5, 2, 1],
        [5, 0, 1],
        [4, 1, 1],
        [5, 1, 1],
      ],
      64,
    );
    expect(lines).toEqual([4, 2, 3, 5]);
  });
});

describe('a repeated time and signal', () => {
  it('is dropped whichever value it has: the first in the file is taken', () => {
    const { taken, rejected } = order(
      [
        [5, 0, 1],
        [9, 1, 1],
        [5, 0, 2],
        [5, 0, 1],
      ],
      64,
    );
    expect(taken).toEqual([
      [5, 0, 1],
      [9, 1, 1],
    ]);
    expect(rejected).toEqual(['4 duplicate', '5 duplicate']);
  });

  it('takes the place of a row that had no usable value, and stands beside none', () => {
    const { taken, lines, rejected } = order(
      [
        [5, 0, NaN],
        [5, 0, 2],
        [5, 0, NaN],
        [6, 1, NaN],
      ],
      64,
    );
    expect(taken).toEqual([
      [5, 0, 2],
      [6, 1, NaN],
    ]);
    expect(lines).toEqual([3, 5]);
    expect(rejected).toEqual([]);
  });
});

describe('whatever rows come', () => {
  const row: fc.Arbitrary<Row> = fc.tuple(
    // Steps of 10 s, so that lateness, repeats and exact bounds all happen often.
    fc.integer({ min: 0, max: 30 }).map((tens) => tens * 10_000),
    fc.integer({ min: 0, max: SIGNALS - 1 }),
    fc.oneof({ weight: 5, arbitrary: fc.integer({ min: 0, max: 9 }) }, { weight: 1, arbitrary: fc.constant(NaN) }),
  );

  it('what comes out is what a plain sort gives, however few rows are gathered at a time', () => {
    fc.assert(
      fc.property(fc.array(row, { maxLength: 120 }), fc.integer({ min: 1, max: 40 }), (rows, capacity) => {
        expect(order(rows, capacity)).toEqual(orderPlainly(rows));
      }),
    );
  });

  it('rows already in order come out as they went in', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 90_000 }), { maxLength: 100 }), fc.integer({ min: 1, max: 20 }), (steps, capacity) => {
        let timeMs = 0;
        const rows = steps.map((step): Row => [(timeMs += step), step % SIGNALS, step]);
        expect(order(rows, capacity)).toEqual({ taken: rows, lines: rows.map((_, index) => index + 2), rejected: [] });
      }),
    );
  });
});
