import type { MinuteOutput, Output } from '../output.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { strandTensionN } from './geometry.js';
import type { TakeupTrack } from './takeup-track.js';

/** What readings are drawn together to, where nothing else is asked for. */
export const MINUTE_MS = 60_000;
/** An extreme of the tension is told in whole newtons, which take a quarter of the room; what floating point leaves over is none. */
const HAIR_N = 1e-6;

export interface MinuteRollSaved {
  readonly minute: SavedNumber;
  readonly count: number;
  readonly least: SavedNumber;
  readonly most: SavedNumber;
  readonly sum: number;
  readonly springLeast: SavedNumber;
  /** Carriage force: count, sum, least, most. Not in states saved by early versions. */
  readonly force?: readonly [number, number, SavedNumber, SavedNumber];
}

/** Draws the spike-free readings of a take-up together minute by minute; the extremes stay, so that a short surge stays visible. */
export class MinuteRoll {
  private minute = NaN;
  private fromMs = NaN;
  private count = 0;
  private least = Infinity;
  private most = -Infinity;
  private sum = 0;
  private springLeast = Infinity;
  private forceCount = 0;
  private forceSum = 0;
  private forceLeast = Infinity;
  private forceMost = -Infinity;

  private readonly leftCells: Float64Array;
  private readonly rightCells: Float64Array;
  /** Of the left side, then of the right: the free length, and the rate of its springs together. */
  private readonly springs = new Float64Array(4);

  /** @param lengthMs - how long a stretch is; a minute, but for whoever looks nearer */
  constructor(
    private readonly conveyor: string,
    private readonly track: TakeupTrack,
    private readonly lengthMs: number,
    saved?: MinuteRollSaved,
  ) {
    this.leftCells = track.left.cells;
    this.rightCells = track.right.cells;
    this.takeSprings();
    if (saved) {
      this.minute = fromSaved(saved.minute);
      this.fromMs = this.minute * lengthMs;
      this.count = saved.count;
      this.least = saved.least ?? Infinity;
      this.most = saved.most ?? -Infinity;
      this.sum = saved.sum;
      this.springLeast = saved.springLeast ?? Infinity;
      const [count, sum, least, most] = saved.force ?? [0, 0, null, null];
      [this.forceCount, this.forceSum, this.forceLeast, this.forceMost] = [count, sum, least ?? Infinity, most ?? -Infinity];
    }
  }

  /** To be told whenever a spring was replaced. */
  takeSprings(): void {
    const [left, right] = [this.track.left.setting.spring, this.track.right.setting.spring];
    this.springs.set([left.freeMm, left.perSide * left.rateNPerMm, right.freeMm, right.perSide * right.rateNPerMm]);
  }

  /** Takes the mean of the sides, and the length of the spring whose side just moved. */
  push(timeMs: number, mm: number, springMm: number, out: Output[]): void {
    // Written so that a first reading, met with NaN, begins a minute.
    if (!(timeMs >= this.fromMs && timeMs < this.fromMs + this.lengthMs)) {
      this.close(out);
      this.minute = Math.floor(timeMs / this.lengthMs);
      this.fromMs = this.minute * this.lengthMs;
    }
    if (!(mm === mm)) return;
    this.count++;
    this.sum += mm;
    if (mm < this.least) this.least = mm;
    if (mm > this.most) this.most = mm;
    if (springMm < this.springLeast) this.springLeast = springMm;
    // `sideForceN` by the spike-free lengths, written out: it is asked for every reading. An unknown length is no force of 0.
    const { springs } = this;
    const leftMm = (springs[0] as number) - (this.leftCells[2] as number);
    const rightMm = (springs[2] as number) - (this.rightCells[2] as number);
    const forceN = (leftMm < 0 ? 0 : (springs[1] as number) * leftMm) + (rightMm < 0 ? 0 : (springs[3] as number) * rightMm);
    if (!(forceN === forceN)) return;
    this.forceCount++;
    this.forceSum += forceN;
    if (forceN < this.forceLeast) this.forceLeast = forceN;
    if (forceN > this.forceMost) this.forceMost = forceN;
  }

  /** Gives out the minute so far, where there is anything in it. */
  close(out: Output[]): void {
    if (this.count > 0) out.push(this.rolled());
    this.count = 0;
    this.sum = 0;
    this.least = Infinity;
    this.most = -Infinity;
    this.springLeast = Infinity;
    this.forceCount = 0;
    this.forceSum = 0;
    this.forceLeast = Infinity;
    this.forceMost = -Infinity;
  }

  private rolled(): MinuteOutput {
    return {
      kind: 'minute',
      conveyor: this.conveyor,
      takeup: this.track.takeup.id,
      timeMs: this.fromMs,
      count: this.count,
      minMm: this.least,
      maxMm: this.most,
      meanMm: this.sum / this.count,
      springMinMm: this.springLeast === Infinity ? NaN : this.springLeast,
      ...this.tensions(),
    };
  }

  /** Tension follows the force in proportion, so that it is worked out once a minute. */
  private tensions(): Pick<MinuteOutput, 'tensionN' | 'tensionMinN' | 'tensionMaxN'> {
    if (this.forceCount === 0) return { tensionN: NaN, tensionMinN: NaN, tensionMaxN: NaN };
    const { gain, turnFriction } = this.track.takeup;
    return {
      tensionN: strandTensionN(this.forceSum / this.forceCount, gain, turnFriction),
      tensionMinN: Math.floor(strandTensionN(this.forceLeast, gain, turnFriction) + HAIR_N),
      tensionMaxN: Math.ceil(strandTensionN(this.forceMost, gain, turnFriction) - HAIR_N),
    };
  }

  save(): MinuteRollSaved {
    return {
      minute: toSaved(this.minute),
      count: this.count,
      least: this.count > 0 ? this.least : null,
      most: this.count > 0 ? this.most : null,
      sum: this.sum,
      springLeast: this.springLeast === Infinity ? null : this.springLeast,
      force: [this.forceCount, this.forceSum, ...(this.forceCount === 0 ? NO_EXTREMES : ([this.forceLeast, this.forceMost] as const))],
    };
  }
}

const NO_EXTREMES = [null, null] as const;
