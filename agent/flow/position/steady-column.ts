import { columnFromSaved, columnToSaved, fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { copyKnown, leastOf, mostOf } from '../../units/quantile.js';

/** As the state keeps it: the numbers, or the one that all of them are. */
export type ColumnSaved = readonly SavedNumber[] | SavedNumber;

const FIRST_ROOM = 64;

/**
 * A column of numbers that takes room only once they differ: of most take-ups a spring has no sensor of its own and no temperature is
 * told, so that a window of ten minutes would hold hundreds of times the same.
 */
export class SteadyColumn {
  private all = NaN;
  private numbers: Float64Array | undefined;

  /** @param most - numbers there may be in it */
  constructor(private readonly most: number) {}

  /** Lays a number at a place; the first goes to 0, each next one behind the last. */
  put(at: number, value: number): void {
    const { numbers } = this;
    if (numbers === undefined) {
      if (at === 0) this.all = value;
      else if (!Object.is(value, this.all)) this.roomFor(at)[at] = value;
    } else if (at < numbers.length) numbers[at] = value;
    else this.roomFor(at)[at] = value;
  }

  at(place: number): number {
    return this.numbers === undefined ? this.all : (this.numbers[place] as number);
  }

  /** Copies those that are known of the first `count`. @returns how many they are */
  copyKnown(count: number, to: Float64Array): number {
    if (this.numbers !== undefined) return copyKnown(this.numbers, 0, count, to);
    to.fill(this.all, 0, count);
    return Number.isNaN(this.all) ? 0 : count;
  }

  /** How far apart the furthest of the first `count` are; NaN where none is known. */
  range(count: number): number {
    if (this.numbers !== undefined) return mostOf(this.numbers, 0, count) - leastOf(this.numbers, 0, count);
    return count === 0 ? NaN : this.all - this.all;
  }

  restore(saved: ColumnSaved, count: number): void {
    if (!Array.isArray(saved)) this.all = fromSaved(saved as SavedNumber);
    else if (count > 0) columnFromSaved(this.roomFor(count - 1), saved as readonly SavedNumber[]);
  }

  /** Says the same however the numbers came to be here, so that a run that was split has the state of the whole one. */
  save(count: number): ColumnSaved {
    const { numbers } = this;
    if (count === 0) return null;
    if (numbers === undefined) return toSaved(this.all);
    const first = numbers[0] as number;
    for (let i = 1; i < count; i++) if (!Object.is(numbers[i], first)) return columnToSaved(numbers, count);
    return toSaved(first);
  }

  private roomFor(at: number): Float64Array {
    const { numbers } = this;
    const next = new Float64Array(Math.min(this.most, Math.max(FIRST_ROOM, 2 ** Math.ceil(Math.log2(at + 1)))));
    if (numbers === undefined) next.fill(this.all, 0, at);
    else next.set(numbers);
    this.numbers = next;
    return next;
  }
}
