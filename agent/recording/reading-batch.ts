import type { RejectReason } from '../flow/output.js';

/**
 * A stretch of readings as typed columns, in order of time; rows of equal time keep the order of the file.
 * The arrays belong to whoever receives the batch; only the first `count` rows are meant.
 */
export interface ReadingBatch {
  /** Of `NOTHING_YET` 0, else more. */
  readonly count: number;
  /** Epoch ms. */
  readonly timeMs: Float64Array;
  /** Index into the known signals that the recording was opened with. */
  readonly signal: Int32Array;
  /** The raw value. NaN: the row said something that is no finite decimal; it is listed as `unparsable` and is a fault of its signal. */
  readonly value: Float64Array;
  /** Line of the file, the header being 1; of a Parquet file row number + 1. */
  readonly line: Float64Array;
}

/** Given where much of a file was read and no reading came of it, so that whoever reads it can look up: show how far it is, or give up. */
export const NOTHING_YET: ReadingBatch = Object.freeze({
  count: 0,
  timeMs: new Float64Array(0),
  signal: new Int32Array(0),
  value: new Float64Array(0),
  line: new Float64Array(0),
});

/** Why the reader did not take a row. `out-of-range` and `spike` are found further on. */
export type RowReject = Extract<RejectReason, 'unparsable' | 'unknown-signal' | 'late' | 'duplicate'>;

/** Hears of every row not taken, once each; not in the order of lines, since lateness and repeats show only after sorting. */
export type OnReject = (line: number, reason: RowReject) => void;
