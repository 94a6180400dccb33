import type { PositionFilter } from '../position/position-filter.js';
import type { TakeupWay } from './takeup-way.js';

/** Readings as typed columns: time in ms since the epoch; the payload's number before scale, NaN where it was none. */
export interface Rows {
  readonly timeMs: Float64Array;
  readonly value: Float64Array;
}

/** Where the readings of a length go: looked up once, since nearly every reading is one. */
export interface Lane {
  readonly name: string;
  readonly filter: PositionFilter;
  readonly way: TakeupWay;
  readonly side: 0 | 1;
  /** A spring's own sensor, not the carriage's. */
  readonly ofSpring: boolean;
}
