import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { copyKnown, leastOf, mostOf, quantile } from '../../units/quantile.js';
import { SteadyColumn, type ColumnSaved } from './steady-column.js';

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
  /** Not in states saved by early versions. */
  readonly count?: number;
  readonly columns: readonly ColumnSaved[];
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

/**
 * What is laid up of each sample. The mean and the skew of the sides are worked out from them again when a window is settled: a plant of
 * hundreds of take-ups would hold them hundreds of times over.
 */
const LAID_UP = ['left', 'right', 'springLeft', 'springRight', 'zoneHeat', 'ambientHeat'] as const satisfies readonly Channel[];
const LAID_UP_AT: readonly number[] = LAID_UP.map((channel) => CHANNELS.indexOf(channel));
const [LEFT, RIGHT] = [0, 1];

/** A column that is worked on while a window is settled, one window after the other; it holds nothing in between. */
const SCRATCH = new Float64Array(CAPACITY);

/** Gathers running time into windows and gives the settled values of each. */
export class SettleWindow {
  private readonly columns = LAID_UP.map(() => new SteadyColumn(CAPACITY));
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
      this.count = saved.count ?? countOf(saved);
      laidUpOf(saved).forEach((column, index) => {
        this.columns[index]?.restore(column, this.count);
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
    const { columns, count } = this;
    for (let i = 0; i < columns.length; i++) (columns[i] as SteadyColumn).put(count, sample[LAID_UP_AT[i] as number] as number);
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

  private column(laidUp: number): SteadyColumn {
    return this.columns[laidUp] as SteadyColumn;
  }

  /** Means of both sides from `from` to `to`, laid into the scratch column as they were sampled. @returns how many are known */
  private means(from: number, to: number): number {
    const [left, right] = [this.column(LEFT), this.column(RIGHT)];
    for (let i = from; i < to; i++) SCRATCH[i - from] = (left.at(i) + right.at(i)) / 2;
    return copyKnown(SCRATCH, 0, to - from, SCRATCH);
  }

  private skews(): number {
    const { count } = this;
    const [left, right] = [this.column(LEFT), this.column(RIGHT)];
    for (let i = 0; i < count; i++) SCRATCH[i] = left.at(i) - right.at(i);
    return copyKnown(SCRATCH, 0, count, SCRATCH);
  }

  /** What was not known for a part of the window has no say. */
  private medianOf(laidUp: number): number {
    return quantile(SCRATCH, this.column(laidUp).copyKnown(this.count, SCRATCH), 0.5);
  }

  private hasJump(): boolean {
    const half = this.count >> 1;
    const later = quantile(SCRATCH, this.means(half, this.count), 0.5);
    return Math.abs(later - quantile(SCRATCH, this.means(0, half), 0.5)) >= this.settings.jumpMm;
  }

  private settle(): SettledWindow {
    const { count } = this;
    const [left = NaN, right = NaN, springLeft = NaN, springRight = NaN, zoneHeat = NaN, ambientHeat = NaN] = LAID_UP.map((_, at) =>
      this.medianOf(at),
    );
    const skew = quantile(SCRATCH, this.skews(), 0.5);
    const known = this.means(0, count);
    const [least, most] = [leastOf(SCRATCH, 0, known), mostOf(SCRATCH, 0, known)];
    // Once its halves are parted in the scratch column, the mean's other quantiles lie near.
    const mean = quantile(SCRATCH, known, 0.5);
    const breathing = quantile(SCRATCH, known, 0.95) - quantile(SCRATCH, known, 0.05);
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
      least,
      most,
      leftRange: this.column(LEFT).range(count),
      rightRange: this.column(RIGHT).range(count),
    };
  }

  save(): SettleWindowSaved {
    return {
      count: this.count,
      columns: this.columns.map((column) => column.save(this.count)),
      fromMs: toSaved(this.fromMs),
      lastMs: toSaved(this.lastMs),
      ranMs: this.ranMs,
      springLeast: this.springLeast === Infinity ? null : this.springLeast,
      springMost: this.springMost === -Infinity ? null : this.springMost,
    };
  }
}

/** States saved by early versions hold every channel, and no count. */
function laidUpOf({ columns }: SettleWindowSaved): readonly ColumnSaved[] {
  return columns.length === CHANNELS.length ? LAID_UP_AT.map((at) => columns[at] ?? []) : columns;
}

function countOf({ columns: [first] }: SettleWindowSaved): number {
  return Array.isArray(first) ? first.length : 0;
}
