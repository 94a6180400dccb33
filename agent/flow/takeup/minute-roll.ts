import type { MinuteOutput, Output } from '../output.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import type { TakeupTrack } from './takeup-track.js';

const MINUTE_MS = 60_000;

export interface MinuteRollSaved {
  readonly minute: SavedNumber;
  readonly count: number;
  readonly least: SavedNumber;
  readonly most: SavedNumber;
  readonly sum: number;
  readonly springLeast: SavedNumber;
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

  constructor(
    private readonly conveyor: string,
    private readonly track: TakeupTrack,
    saved?: MinuteRollSaved,
  ) {
    if (saved) {
      this.minute = fromSaved(saved.minute);
      this.fromMs = this.minute * MINUTE_MS;
      this.count = saved.count;
      this.least = saved.least ?? Infinity;
      this.most = saved.most ?? -Infinity;
      this.sum = saved.sum;
      this.springLeast = saved.springLeast ?? Infinity;
    }
  }

  /** Takes the mean of the sides, and the length of the spring whose side just moved. */
  push(timeMs: number, mm: number, springMm: number, out: Output[]): void {
    // Written so that a first reading, met with NaN, begins a minute.
    if (!(timeMs >= this.fromMs && timeMs < this.fromMs + MINUTE_MS)) {
      this.close(out);
      this.minute = Math.floor(timeMs / MINUTE_MS);
      this.fromMs = this.minute * MINUTE_MS;
    }
    if (!(mm === mm)) return;
    this.count++;
    this.sum += mm;
    if (mm < this.least) this.least = mm;
    if (mm > this.most) this.most = mm;
    if (springMm < this.springLeast) this.springLeast = springMm;
  }

  /** Gives out the minute so far, where there is anything in it. */
  close(out: Output[]): void {
    if (this.count > 0) out.push(this.rolled());
    this.count = 0;
    this.sum = 0;
    this.least = Infinity;
    this.most = -Infinity;
    this.springLeast = Infinity;
  }

  private rolled(): MinuteOutput {
    return {
      kind: 'minute',
      conveyor: this.conveyor,
      takeup: this.track.takeup.id,
      timeMs: this.minute * MINUTE_MS,
      count: this.count,
      minMm: this.least,
      maxMm: this.most,
      meanMm: this.sum / this.count,
      springMinMm: this.springLeast === Infinity ? NaN : this.springLeast,
      tensionN: this.track.strandTensionN,
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
    };
  }
}
