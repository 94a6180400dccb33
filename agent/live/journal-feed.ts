import type { ReadingColumns } from '../store/journal.js';

const FIRST_ROOM = 1024;

/** Readings that wait to be journalled, in the order in which they came. */
export class JournalFeed {
  private signal = new Int32Array(FIRST_ROOM);
  private timeMs = new Float64Array(FIRST_ROOM);
  private value = new Float64Array(FIRST_ROOM);
  private count = 0;

  get size(): number {
    return this.count;
  }

  push(signal: number, timeMs: number, value: number): void {
    if (this.count === this.signal.length) this.grow();
    this.signal[this.count] = signal;
    this.timeMs[this.count] = timeMs;
    this.value[this.count] = value;
    this.count++;
  }

  /** Takes everything out, for one transaction. */
  drain(): ReadingColumns {
    const { count } = this;
    this.count = 0;
    return { count, signal: this.signal.slice(0, count), timeMs: this.timeMs.slice(0, count), value: this.value.slice(0, count) };
  }

  /** Puts a batch that could not be written back before what came since. */
  putBack(batch: ReadingColumns): void {
    const later = this.drain();
    for (const { count, signal, timeMs, value } of [batch, later]) {
      for (let i = 0; i < count; i++) this.push(signal[i] as number, timeMs[i] as number, value[i] as number);
    }
  }

  private grow(): void {
    const room = this.signal.length * 2;
    const signal = new Int32Array(room);
    const timeMs = new Float64Array(room);
    const value = new Float64Array(room);
    signal.set(this.signal);
    timeMs.set(this.timeMs);
    value.set(this.value);
    [this.signal, this.timeMs, this.value] = [signal, timeMs, value];
  }
}
