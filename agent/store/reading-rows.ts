import type { ReadingColumns } from './journal.js';

/** A reading as SQL gives it in raw form: sequence number, signal's id, epoch ms, value. */
export type ReadingRow = readonly [seq: number, signal: number, timeMs: number, value: number | null];

/** Readings fetched at a time: enough to be fast, few enough that the log is not held and nobody waits. */
export const ROWS_AT_A_TIME = 10_000;

/**
 * Rows as columns.
 *
 * @param indexOf - the caller's index of a signal's id; rows of signals that have none are left out
 */
export function toColumns(rows: readonly ReadingRow[], indexOf: ReadonlyMap<number, number>): ReadingColumns {
  const signal = new Int32Array(rows.length);
  const timeMs = new Float64Array(rows.length);
  const value = new Float64Array(rows.length);
  let count = 0;
  for (const [, id, time, number] of rows) {
    const index = indexOf.get(id);
    if (index === undefined) continue;
    signal[count] = index;
    timeMs[count] = time;
    value[count] = number ?? NaN;
    count++;
  }
  return { count, signal, timeMs, value };
}
