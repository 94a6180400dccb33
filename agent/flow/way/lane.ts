import type { PositionFilter } from '../position/position-filter.js';
import type { TakeupWay } from './takeup-way.js';

/** Where the readings of a length go: looked up once, since nearly every reading is one. */
export class Lane {
  /** Readings of the block that is being taken in: staged, and those of them whose turn has come. */
  staged = 0;
  turned = 0;

  /** @param ofSpring - a spring's own sensor, not the carriage's */
  constructor(
    readonly name: string,
    readonly filter: PositionFilter,
    readonly way: TakeupWay,
    readonly side: 0 | 1,
    readonly ofSpring: boolean,
  ) {}
}
