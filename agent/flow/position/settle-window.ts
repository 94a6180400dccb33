import { columnFromSaved, columnToSaved, fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { copyKnown, leastOf, mostOf, quantile } from '../../units/quantile.js';

/** What is kept of each second of running time. */
export const CHANNELS = ['mean', 'left', 'right', 'skew', 'springLeft', 'springRight', 'zoneHeat', 'ambientHeat'] as const;
type Channel = (typeof CHANNELS)[number];

/** What a sample carries behind its channels. One column of numbers, because it is handed over every second of every take-up. */
const TIME_MS = CHANNELS.length;
const RAN_MS = TIME_MS + 1;
const SPRING_LEAST = TIME_MS + 2;
const SPRING_MOST = TIME_MS + 3;
/** A sample: the channels, in the order of `CHANNELS`, then time, running time since the last sample, shortest and longest spring. */
export const SampleAt = Object.freeze({ timeMs: TIME_MS, ranMs: RAN_MS, springLeast: SPRING_LEAST, springMost: SPRING_MOST });
export const SAMPLE_LENGTH = TIME_MS + 4;

/** The settled values of one window (mm; heat in mm·°C and °C): medians over running time. NaN for what was not measured. */
export interface SettledWindow extends Readonly<Record<Channel, number>> {
  readonly fromMs: number;
  readonly toMs: number;
  readonly count: number;
  /** 5–95 % range of the mean position: the carriage's normal to-and-fro. */
  readonly breathing: number;
  /** Shortest spring length met, either side. */
  readonly springLeast: number;
  readonly springMost: number;
  readonly least: number;
  readonly most: number;
  /** Furthest apart of the readings of each side: 0 where a side read the same all the while. */
  readonly leftRange: number;
  readonly rightRange: number;
}

export interface SettleWindowSaved {
  readonly columns: readonly (readonly SavedNumber[])[];
  readonly fromMs: SavedNumber;
  readonly lastMs: SavedNumber;
  readonly ranMs: number;
  readonly springLeast: SavedNumber;
  readonly springMost: SavedNumber;
}

export interface SettleSettings {
  readonly windowMs: number;
  readonly fewestReadings: number;
  /** A window whose halves differ by this much has a jump in it, and is not settled. */
  readonly jumpMm: number;
}

/** 10 minutes, or 15 readings if longer (mechanics §5 step 5). */
export const DEFAULT_SETTLE: SettleSettings = Object.freeze({ windowMs: 600_000, fewestReadings: 15, jumpMm: 4 });

/** One sample a second fills a window of ten minutes; the rest is room for clocks that slip. */
const CAPACITY = 720;

/** Gathers running time into windows and gives the settled values of each. */
export class SettleWindow {
  /** The columns of the channels, one behind the other. */
  private readonly table = new Float64Array(CHANNELS.length * CAPACITY);
  private readonly columns = CHANNELS.map((_, at) => this.table.subarray(at * CAPACITY, (at + 1) * CAPACITY));
  private readonly scratch = new Float64Array(CAPACITY);
  private count = 0;
  private fromMs = NaN;
  private lastMs = NaN;
  private ranMs = 0;
  private springLeast = Infinity;
  private springMost = -Infinity;

  constructor(
    private readonly settings: SettleSettings,
    saved?: SettleWindowSaved,
  ) {
    if (saved) {
      saved.columns.forEach((column, index) => {
        this.count = columnFromSaved(this.columns[index] as Float64Array, column);
      });
      this.fromMs = fromSaved(saved.fromMs);
      this.lastMs = fromSaved(saved.lastMs);
      this.ranMs = saved.ranMs;
      this.springLeast = saved.springLeast ?? Infinity;
      this.springMost = saved.springMost ?? -Infinity;
    }
  }

  /** Time of the last sample taken; NaN for an empty window. */
  get lastSampleMs(): number {
    return this.lastMs;
  }

  /**
   * Takes one sample of running time.
   * @param sample - laid out as `SampleAt` says
   * @returns the settled values, where this sample filled the window and there is no jump in it
   */
  push(sample: Float64Array): SettledWindow | undefined {
    const timeMs = sample[TIME_MS] as number;
    if (this.count === 0) {
      this.fromMs = timeMs;
      this.ranMs = 0;
    } else {
      this.ranMs += sample[RAN_MS] as number;
    }
    const { table } = this;
    for (let channel = 0, at = this.count; channel < TIME_MS; channel++, at += CAPACITY) table[at] = sample[channel] as number;
    this.count++;
    this.lastMs = timeMs;
    const [springLeast, springMost] = [sample[SPRING_LEAST] as number, sample[SPRING_MOST] as number];
    if (springLeast < this.springLeast) this.springLeast = springLeast;
    if (springMost > this.springMost) this.springMost = springMost;
    const full = this.ranMs >= this.settings.windowMs && this.count >= this.settings.fewestReadings;
    if (!full && this.count < CAPACITY) return undefined;
    const window = this.hasJump() ? undefined : this.settle();
    this.drop();
    return window;
  }

  /** Throws away what was gathered: after a long stop, or a change of what is measured. */
  drop(): void {
    this.count = 0;
    this.lastMs = NaN;
    this.fromMs = NaN;
    this.springLeast = Infinity;
    this.springMost = -Infinity;
  }

  /** What was not known for a part of the window has no say. */
  private quantileOf(channel: number, from: number, to: number, p: number): number {
    return quantile(this.scratch, copyKnown(this.columns[channel] as Float64Array, from, to, this.scratch), p);
  }

  private rangeOf(channel: number): number {
    const column = this.columns[channel] as Float64Array;
    return mostOf(column, 0, this.count) - leastOf(column, 0, this.count);
  }

  private hasJump(): boolean {
    const half = this.count >> 1;
    return Math.abs(this.quantileOf(0, half, this.count, 0.5) - this.quantileOf(0, 0, half, 0.5)) >= this.settings.jumpMm;
  }

  private settle(): SettledWindow {
    const { count, scratch } = this;
    const [left = NaN, right = NaN, skew = NaN, springLeft = NaN, springRight = NaN, zoneHeat = NaN, ambientHeat = NaN] = CHANNELS.slice(
      1,
    ).map((_, at) => this.quantileOf(at + 1, 0, count, 0.5));
    // Once its halves are parted in the scratch column, the mean's other quantiles lie near.
    const known = copyKnown(this.columns[0] as Float64Array, 0, count, scratch);
    const mean = quantile(scratch, known, 0.5);
    const breathing = quantile(scratch, known, 0.95) - quantile(scratch, known, 0.05);
    const means = this.columns[0] as Float64Array;
    return {
      fromMs: this.fromMs,
      toMs: this.lastMs,
      count,
      mean,
      left,
      right,
      skew,
      springLeft,
      springRight,
      zoneHeat,
      ambientHeat,
      breathing,
      springLeast: this.springLeast,
      springMost: this.springMost,
      least: leastOf(means, 0, count),
      most: mostOf(means, 0, count),
      leftRange: this.rangeOf(1),
      rightRange: this.rangeOf(2),
    };
  }

  save(): SettleWindowSaved {
    return {
      columns: this.columns.map((column) => columnToSaved(column, this.count)),
      fromMs: toSaved(this.fromMs),
      lastMs: toSaved(this.lastMs),
      ranMs: this.ranMs,
      springLeast: this.springLeast === Infinity ? null : this.springLeast,
      springMost: this.springMost === -Infinity ? null : this.springMost,
    };
  }
}
