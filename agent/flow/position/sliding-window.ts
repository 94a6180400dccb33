import { columnFromSaved, columnToSaved, type SavedNumber } from '../../units/saved.js';
import { insert } from './median-of-few.js';

/** Room there is to begin with; a block of a recording makes it larger. */
const FIRST_ROOM = 32;

/**
 * The last so many readings of one signal, and behind them those that are staged: not in the window yet. The window slides along two
 * columns and goes back to their beginning now and then, so that a reading need not move those before it.
 */
export class SlidingWindow {
  times = new Float64Array(FIRST_ROOM);
  values = new Float64Array(FIRST_ROOM);
  /** Where the window begins, and how many readings are in it. */
  first = 0;
  count = 0;
  staged = 0;

  /** @param length - readings there are in it at most */
  constructor(private readonly length: number) {}

  get full(): boolean {
    return this.count === this.length;
  }

  /** Lays a reading behind those there are. */
  stage(timeMs: number, value: number): void {
    if (this.first + this.count + this.staged === this.times.length) this.makeRoom();
    const at = this.first + this.count + this.staged;
    this.times[at] = timeMs;
    this.values[at] = value;
    this.staged++;
  }

  /** Takes the first that is staged in; of a full window the oldest goes. @returns where it lies */
  slide(): number {
    if (this.count === this.length) this.first++;
    else this.count++;
    this.staged--;
    return this.first + this.count - 1;
  }

  clear(): void {
    this.first = 0;
    this.count = 0;
    this.staged = 0;
  }

  /**
   * Sorts the readings about one into a column.
   * @param at - its place in the window
   * @param reach - how many to either side of it
   * @param reachMs - and how far off in time at most
   * @returns how many there are
   */
  gather(at: number, reach: number, reachMs: number, sorted: Float64Array): number {
    const { values, times, first } = this;
    const time = times[first + at] as number;
    const last = first + Math.min(this.count - 1, at + reach);
    let n = 0;
    for (let i = first + Math.max(0, at - reach); i <= last; i++) {
      if (Math.abs((times[i] as number) - time) <= reachMs) insert(sorted, n++, values[i] as number);
    }
    return n;
  }

  private makeRoom(): void {
    const { first, times, values } = this;
    const end = first + this.count + this.staged;
    if (end - first > times.length / 2) {
      this.times = new Float64Array(2 * times.length);
      this.values = new Float64Array(2 * times.length);
    }
    this.times.set(times.subarray(first, end));
    this.values.set(values.subarray(first, end));
    this.first = 0;
  }

  restore(times: readonly SavedNumber[], values: readonly SavedNumber[]): void {
    this.count = columnFromSaved(this.times, times);
    columnFromSaved(this.values, values);
  }

  save(): { times: SavedNumber[]; values: SavedNumber[] } {
    return {
      times: columnToSaved(this.times.subarray(this.first), this.count),
      values: columnToSaved(this.values.subarray(this.first), this.count),
    };
  }
}
