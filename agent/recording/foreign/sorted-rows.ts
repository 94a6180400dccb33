import { closeSync, mkdtempSync, openSync, readSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { hasRoom } from '../../process/disk-room.js';
import type { ReadingBatch } from '../reading-batch.js';
import { recordingFault, writeFault } from '../recording-fault.js';
import { stableOrder } from '../stable-order.js';

const ROW_NUMBERS = 4;
const RUN_ROWS = 500_000;
const PAGE_ROWS = 4096;
const BATCH_ROWS = 65_536;

/** A stretch of rows that is sorted, on the disk, being read from its beginning. */
interface Run {
  readonly offset: number;
  readonly rows: number;
  read: number;
  page: Float64Array;
  at: number;
}

/**
 * Sorts rows by time, whatever order they come in, in memory that does not grow with them: runs of half a million are sorted, put on the
 * disk, and merged. Rows of one time stay in the order in which they came.
 */
export class SortedRows {
  private readonly folder = mkdtempSync(join(tmpdir(), 'takeline-import-'));
  private readonly file = openSync(join(this.folder, 'rows'), 'w+');
  private readonly rows = new Float64Array(RUN_ROWS * ROW_NUMBERS);
  private readonly runs: Run[] = [];
  private count = 0;
  private offset = 0;
  private lastMs = -Infinity;
  /** Rows that came after a later one. */
  outOfOrder = 0;

  constructor() {
    // Without a name it goes with whoever holds it, however that ends. Where an open file cannot lose its name, `close` takes it away.
    if (process.platform !== 'win32') rmSync(this.folder, { recursive: true });
  }

  add(timeMs: number, signal: number, value: number, line: number): void {
    if (timeMs < this.lastMs) this.outOfOrder++;
    this.lastMs = Math.max(this.lastMs, timeMs);
    this.rows.set([timeMs, signal, value, line], this.count * ROW_NUMBERS);
    if (++this.count === RUN_ROWS) this.flush();
  }

  /** The rows in order of time; once. */
  *batches(): Generator<ReadingBatch, void, undefined> {
    this.flush();
    let batch = emptyBatch();
    let count = 0;
    for (;;) {
      let first: Run | undefined;
      for (const run of this.runs) if (this.fill(run) && (first === undefined || timeOf(run) < timeOf(first))) first = run;
      if (first === undefined) break;
      const from = first.at * ROW_NUMBERS;
      batch.timeMs[count] = first.page[from] as number;
      batch.signal[count] = first.page[from + 1] as number;
      batch.value[count] = first.page[from + 2] as number;
      batch.line[count] = first.page[from + 3] as number;
      first.at++;
      if (++count < BATCH_ROWS) continue;
      yield { count, ...batch };
      batch = emptyBatch();
      count = 0;
    }
    if (count > 0) yield { count, ...batch };
  }

  close(): void {
    closeSync(this.file);
    rmSync(this.folder, { recursive: true, force: true });
  }

  private flush(): void {
    if (this.count === 0) return;
    if (!hasRoom(tmpdir())) throw recordingFault('recording-not-written', tmpdir(), 'the disk is nearly full');
    const times = Float64Array.from({ length: this.count }, (_, row) => this.rows[row * ROW_NUMBERS] as number);
    const sorted = new Float64Array(this.count * ROW_NUMBERS);
    stableOrder(times, this.count).forEach((row, at) => {
      sorted.set(this.rows.subarray(row * ROW_NUMBERS, (row + 1) * ROW_NUMBERS), at * ROW_NUMBERS);
    });
    try {
      writeSync(this.file, new Uint8Array(sorted.buffer), 0, sorted.byteLength, this.offset);
    } catch (error) {
      throw writeFault(tmpdir(), error);
    }
    this.runs.push({ offset: this.offset, rows: this.count, read: 0, page: new Float64Array(0), at: 0 });
    this.offset += sorted.byteLength;
    this.count = 0;
  }

  /** Sees that a run's next row is in memory. @returns false at its end */
  private fill(run: Run): boolean {
    if (run.at * ROW_NUMBERS < run.page.length) return true;
    const rows = Math.min(PAGE_ROWS, run.rows - run.read);
    if (rows === 0) return false;
    run.page = new Float64Array(rows * ROW_NUMBERS);
    readSync(this.file, new Uint8Array(run.page.buffer), 0, run.page.byteLength, run.offset + run.read * ROW_NUMBERS * 8);
    run.read += rows;
    run.at = 0;
    return true;
  }
}

function timeOf({ page, at }: Run): number {
  return page[at * ROW_NUMBERS] as number;
}

function emptyBatch(): Omit<ReadingBatch, 'count'> {
  return {
    timeMs: new Float64Array(BATCH_ROWS),
    signal: new Int32Array(BATCH_ROWS),
    value: new Float64Array(BATCH_ROWS),
    line: new Float64Array(BATCH_ROWS),
  };
}
