import type { Output } from '../output.js';
import type { Sampler } from '../sample/sampler.js';
import type { ConveyorWay } from './conveyor-way.js';
import type { Lane } from './lane.js';

/** Readings as typed columns, in order of time, each of the signal at its place in `Pipeline.signals`. */
export interface SignalRows {
  /** Ms since the epoch. */
  readonly timeMs: Float64Array;
  /** The payload's number before scale, NaN where it was none. */
  readonly value: Float64Array;
  readonly signal: Int32Array;
}

/** Where a signal of the site is read: which conveyor's way, and which of its signals. */
export interface Place {
  readonly way: ConveyorWay;
  readonly index: number;
  readonly sampler: Sampler;
  /** Undefined where the signal is no length. */
  readonly lane: Lane | undefined;
}

/** The data's own time, and when something falls due next. */
export interface TimeNow {
  readonly nowMs: number;
  readonly dueMs: number;
}

/** How time passes while the rows of a block take their turns. Both say when something falls due next. */
export interface Passage {
  /** When something falls due, worked out anew: signals that were read since are lost later. */
  readonly dueAnew: () => number;
  readonly passTo: (timeMs: number, out: Output[]) => number;
  /** Something may fall due earlier on a way than was known. */
  readonly lookAhead: (way: ConveyorWay) => number;
}

/**
 * Looks on as rows take their turns: called after each, when all that is taken turn by turn stands as after this row alone. What is
 * sampled stands as at the end of the block, so the row's own sample is handed in.
 * @param signal - as the rows name it
 * @param value - its engineering value; NaN where the reading was none, or none that counts
 */
export type LookOn = (signal: number, timeMs: number, value: number) => void;

/** More rows at a time gain nothing. */
const MOST_ROWS = 512;
const LEAST_OF_A_LANE = 4;

/**
 * A run of rows in which nothing happens but readings, taken a step of the way at a time: all are sampled, all are judged and smoothed,
 * and then each takes its turn, in order, in what looks at take-ups. It comes out as if they had gone the way one after the other, and
 * costs half of it: each step's numbers stay at hand. Whatever may change the course ends a block before it: a signal that is not plainly
 * good, a start or a stop, and anything that falls due.
 */
export class Block {
  /** Engineering values of the rows. */
  private readonly values = new Float64Array(MOST_ROWS);
  private readonly lanes: Lane[] = [];

  constructor(private readonly places: readonly Place[]) {}

  /**
   * Takes rows from `from` on, up to `to` or to the first that must go the way by itself.
   * @param time - the data's own time up to here, and when something falls due
   * @returns the row after the last one taken
   */
  take(rows: SignalRows, from: number, to: number, time: TimeNow, passage: Passage): number {
    const { places, values, lanes } = this;
    const { timeMs, value, signal } = rows;
    const end = Math.min(to, from + MOST_ROWS);
    let { nowMs, dueMs } = time;
    let row = from;
    for (; row < end; row++) {
      const atMs = timeMs[row] as number;
      if (!(atMs >= nowMs)) break;
      if (!(atMs < dueMs) && !(atMs < (dueMs = passage.dueAnew()))) break;
      const { way, index, sampler, lane } = places[signal[row] as number] as Place;
      const raw = value[row] as number;
      if (lane !== undefined) {
        if (!sampler.pushPlain(atMs, raw)) break;
        if (lane.staged++ === 0) lanes.push(lane);
        lane.filter.stage(atMs, sampler.value);
      } else if (!way.isNoTurn(index, atMs, sampler.scaled(raw)) || !sampler.pushPlain(atMs, raw)) break;
      values[row - from] = sampler.value;
      nowMs = atMs;
    }
    for (const lane of lanes) lane.filter.judgeStaged();
    return row;
  }

  /** Gives each of the rows that `take` took its turn. @param time - as it was before the first of them */
  give(rows: SignalRows, from: number, to: number, time: TimeNow, passage: Passage, out: Output[], look?: LookOn): void {
    const { places, values, lanes } = this;
    const { timeMs, signal } = rows;
    // With few readings a side it is as quick to look at each of them.
    const worthIt = to - from >= LEAST_OF_A_LANE * lanes.length;
    if (worthIt) this.lookOver();
    let { nowMs, dueMs } = time;
    for (let row = from; row < to; row++) {
      const { way, index, lane } = places[signal[row] as number] as Place;
      const atMs = timeMs[row] as number;
      const falls = atMs > nowMs && atMs >= dueMs;
      nowMs = atMs;
      if (falls) dueMs = passage.passTo(atMs, out);
      if (lane === undefined) way.take(index, atMs, values[row - from] as number, out);
      else way.takeJudged(lane, lane.filter.judgedUpTo(lane.turned++), out);
      const moved = way.dueMoved;
      if (moved) dueMs = passage.lookAhead(way);
      // Limits and nuts may be others now.
      if (worthIt && (falls || moved)) this.lookOver();
      look?.(signal[row] as number, atMs, values[row - from] as number);
    }
    for (const lane of lanes) {
      lane.staged = 0;
      lane.turned = 0;
      lane.way.calm = false;
    }
    lanes.length = 0;
  }

  private lookOver(): void {
    for (const { way } of this.lanes) way.lookOver();
  }
}
