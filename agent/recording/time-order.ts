import type { OnReject, ReadingBatch } from './reading-batch.js';
import { stableOrder } from './stable-order.js';

/** How far behind the newest time a row may come and still be sorted in (contracts §2). */
const SORTED_DISORDER_MS = 60_000;

const FIRST_CAPACITY = 65_536;

/**
 * Puts rows in order of time and drops repeats.
 *
 * A row up to 60 s older than the newest seen is sorted in, an older one is `late`. Rows wait until nothing older can come;
 * what has arrived in order, which is nearly always all of it, is handed on as it lies. Whether a row is late depends on
 * the rows before it alone, and batches are cut by the number of rows, so the same rows give the same batches whatever
 * they were read from.
 *
 * Of several rows with one time and signal the first in the file is taken and the others are `duplicate`; a row without a
 * usable value does not stand in the way of a good one, and is dropped beside it, being listed as `unparsable` already.
 */
export class TimeOrder {
  readonly #onReject: OnReject;
  #timeMs: Float64Array;
  #signal: Int32Array;
  #value: Float64Array;
  #line: Float64Array;
  #count = 0;
  #sorted = true;
  #newestMs = -Infinity;
  /** By signal: the time of the last row handed on, and where it lies in its batch. */
  readonly #lastMs: Float64Array;
  readonly #lastRow: Int32Array;
  #ready: ReadingBatch[] = [];

  /**
   * @param signals - how many are known
   * @param capacity - rows gathered before any are handed on, 1 or more; for tests
   */
  constructor(signals: number, onReject: OnReject, capacity = FIRST_CAPACITY) {
    this.#onReject = onReject;
    this.#timeMs = new Float64Array(capacity);
    this.#signal = new Int32Array(capacity);
    this.#value = new Float64Array(capacity);
    this.#line = new Float64Array(capacity);
    this.#lastMs = new Float64Array(signals).fill(-Infinity);
    this.#lastRow = new Int32Array(signals);
  }

  /** Takes a row. A `value` of NaN has been listed as `unparsable` by whoever read it. */
  add(timeMs: number, signal: number, value: number, line: number): void {
    if (timeMs >= this.#newestMs) this.#newestMs = timeMs;
    else if (timeMs >= this.#newestMs - SORTED_DISORDER_MS) this.#sorted = false;
    else {
      if (!Number.isNaN(value)) this.#onReject(line, 'late');
      return;
    }
    const at = this.#count;
    this.#timeMs[at] = timeMs;
    this.#signal[at] = signal;
    this.#value[at] = value;
    this.#line[at] = line;
    this.#count = at + 1;
    if (this.#count === this.#timeMs.length) this.#release(this.#newestMs - SORTED_DISORDER_MS);
  }

  /** Batches that nothing can come before any more; each is given once. */
  takeReady(): readonly ReadingBatch[] {
    if (this.#ready.length === 0) return this.#ready;
    const ready = this.#ready;
    this.#ready = [];
    return ready;
  }

  /** No more rows come: everything that waits becomes ready. */
  finish(): void {
    this.#release(Infinity);
  }

  /** Makes the rows before `beforeMs` ready and keeps the others. */
  #release(beforeMs: number): void {
    if (!this.#sorted) this.#sort();
    const cut = firstNotBefore(this.#timeMs, this.#count, beforeMs);
    if (cut > 0) this.#ready.push(this.#batch(cut));
    const kept = this.#count - cut;
    for (const column of [this.#timeMs, this.#signal, this.#value, this.#line]) column.copyWithin(0, cut, this.#count);
    this.#count = kept;
    // When most rows have to wait, more room keeps the sorting from being repeated for every few rows. Only rows that will be taken are
    // given it: a file that says the same row a thousand million times would fill any.
    if (this.#mostWait) this.#dropRepeats();
    if (this.#mostWait) this.#grow();
  }

  get #mostWait(): boolean {
    return this.#count > this.#timeMs.length / 2;
  }

  /** Drops repeats among the rows that wait, which are in order, as `#batch` would. */
  #dropRepeats(): void {
    const lastMs = new Float64Array(this.#lastMs.length).fill(-Infinity);
    const lastRow = new Int32Array(this.#lastMs.length);
    const waiting = { value: this.#value, line: this.#line };
    let taken = 0;
    for (let i = 0; i < this.#count; i++) {
      const time = this.#timeMs[i] as number;
      const which = this.#signal[i] as number;
      if (lastMs[which] === time) {
        this.#repeat(waiting, lastRow[which] as number, this.#value[i] as number, this.#line[i] as number);
        continue;
      }
      lastMs[which] = time;
      lastRow[which] = taken;
      for (const column of [this.#timeMs, this.#signal, this.#value, this.#line]) column[taken] = column[i] as number;
      taken++;
    }
    this.#count = taken;
  }

  #sort(): void {
    const order = stableOrder(this.#timeMs, this.#count);
    const { length } = this.#timeMs;
    this.#timeMs = gather(this.#timeMs, order, new Float64Array(length));
    this.#signal = gather(this.#signal, order, new Int32Array(length));
    this.#value = gather(this.#value, order, new Float64Array(length));
    this.#line = gather(this.#line, order, new Float64Array(length));
    this.#sorted = true;
  }

  #grow(): void {
    const length = this.#timeMs.length * 2;
    this.#timeMs = enlarged(this.#timeMs, new Float64Array(length));
    this.#signal = enlarged(this.#signal, new Int32Array(length));
    this.#value = enlarged(this.#value, new Float64Array(length));
    this.#line = enlarged(this.#line, new Float64Array(length));
  }

  /** The first `count` rows without repeats. Rows of one time are never parted by a cut, so a repeat's first is in the same batch. */
  #batch(count: number): ReadingBatch {
    const timeMs = new Float64Array(count);
    const signal = new Int32Array(count);
    const value = new Float64Array(count);
    const line = new Float64Array(count);
    const batch = { timeMs, signal, value, line };
    let taken = 0;
    for (let i = 0; i < count; i++) {
      const time = this.#timeMs[i] as number;
      const which = this.#signal[i] as number;
      if (this.#lastMs[which] === time) {
        this.#repeat(batch, this.#lastRow[which] as number, this.#value[i] as number, this.#line[i] as number);
        continue;
      }
      this.#lastMs[which] = time;
      this.#lastRow[which] = taken;
      timeMs[taken] = time;
      signal[taken] = which;
      value[taken] = this.#value[i] as number;
      line[taken] = this.#line[i] as number;
      taken++;
    }
    return { count: taken, ...batch };
  }

  #repeat(batch: Pick<ReadingBatch, 'value' | 'line'>, first: number, value: number, line: number): void {
    if (Number.isNaN(value)) return;
    if (Number.isNaN(batch.value[first])) {
      batch.value[first] = value;
      batch.line[first] = line;
    } else this.#onReject(line, 'duplicate');
  }
}

/** Where the first time not before `beforeMs` stands in times that do not fall. */
function firstNotBefore(timeMs: Float64Array, count: number, beforeMs: number): number {
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((timeMs[middle] as number) < beforeMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

function gather<Column extends Float64Array | Int32Array>(from: Column, order: Uint32Array, into: Column): Column {
  for (let i = 0; i < order.length; i++) into[i] = from[order[i] as number] as number;
  return into;
}

function enlarged<Column extends Float64Array | Int32Array>(from: Column, into: Column): Column {
  into.set(from);
  return into;
}
