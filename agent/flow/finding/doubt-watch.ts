import { LastValues } from '../../units/last-values.js';

/** A side that reads the same to the last digit for so long, running, is doubted (alarms.md §1). */
const FLAT_MS = 3600_000;
/** Noise above so many times its own normal is doubted. */
const NOISY = 5;
/** Less noise than this is none: a sensor that never showed any is not doubted for the first that it shows. */
const NO_NOISE_MM = 0.01;
/** Windows that say what is normal, and the fewest that do. */
const NORMAL_WINDOWS = 288;
const FEWEST_WINDOWS = 36;
/** Noise is believed when so many windows in a row show it. */
const NOISY_WINDOWS = 2;
/** A side that ranges so many times as far as the other has moved by itself: both are on one carriage. */
const APART = 2;

export interface DoubtWatchSaved {
  readonly flatMs: number;
  readonly flatSinceMs: number | null;
  readonly noises: readonly number[];
  readonly owns: readonly number[];
  readonly noisy: number;
  readonly up: boolean;
}

export interface DoubtSample {
  readonly fromMs: number;
  readonly toMs: number;
  /** Readings in the window. */
  readonly count: number;
  /** Furthest apart of this side's readings in the window, and of the other side's. */
  readonly rangeMm: number;
  readonly otherRangeMm: number;
  /** Spread of the readings about their local median. */
  readonly noiseMm: number;
  /** Spread of the noise while the conveyor stands; NaN where it is not known. */
  readonly stillMm: number;
}

export interface Doubt {
  readonly turn: 'raised' | 'cleared';
  readonly why: 'flat' | 'noisy';
  readonly sinceMs: number;
  readonly atMs: number;
  readonly value: number;
  readonly limit: number;
}

/** Whether one sensor can be believed: flat while the other side moves, or far noisier than it used to be. */
export class DoubtWatch {
  private flatMs: number;
  private flatSinceMs: number;
  private readonly noises: LastValues;
  /** What the side scattered beyond the other, window by window: play and rods make it more than noise. */
  private readonly owns: LastValues;
  private noisy: number;
  private up: boolean;

  constructor(saved?: DoubtWatchSaved) {
    this.flatMs = saved?.flatMs ?? 0;
    this.flatSinceMs = saved?.flatSinceMs ?? NaN;
    this.noises = new LastValues(NORMAL_WINDOWS, saved?.noises);
    this.owns = new LastValues(NORMAL_WINDOWS, saved?.owns);
    this.noisy = saved?.noisy ?? 0;
    this.up = saved?.up ?? false;
  }

  /** Takes what a settled window shows of the sensor. */
  push(sample: DoubtSample): Doubt | undefined {
    const flat = sample.rangeMm === 0 && sample.otherRangeMm > 0;
    if (flat && this.flatMs === 0) this.flatSinceMs = sample.fromMs;
    this.flatMs = flat ? this.flatMs + (sample.toMs - sample.fromMs) : 0;
    const normal = this.noises.count < FEWEST_WINDOWS ? NaN : Math.max(this.noises.median, NO_NOISE_MM);
    const ownMm = ownNoise(sample);
    const ownNormal = Math.max(this.owns.median, Number.isNaN(sample.stillMm) ? normal : sample.stillMm);
    const byOwn = ownMm > NOISY * ownNormal && !Number.isNaN(normal);
    const loud = byOwn || sample.noiseMm > NOISY * normal;
    this.noisy = loud ? this.noisy + 1 : 0;
    if (!loud && !flat) {
      this.noises.push(sample.noiseMm);
      this.owns.push(ownMm);
    }
    return byOwn ? this.turn({ ...sample, noiseMm: ownMm }, ownNormal) : this.turn(sample, normal);
  }

  private turn(sample: DoubtSample, normal: number): Doubt | undefined {
    const flat = this.flatMs >= FLAT_MS;
    const noisy = this.noisy >= NOISY_WINDOWS;
    if (!this.up && (flat || noisy)) {
      this.up = true;
      // The window in which the hour was full reaches past it.
      return flat
        ? { turn: 'raised', why: 'flat', sinceMs: this.flatSinceMs, atMs: sample.toMs - (this.flatMs - FLAT_MS), value: 0, limit: 0 }
        : { turn: 'raised', why: 'noisy', sinceMs: sample.fromMs, atMs: sample.toMs, value: sample.noiseMm, limit: NOISY * normal };
    }
    if (this.up && this.flatMs === 0 && this.noisy === 0) {
      this.up = false;
      return { turn: 'cleared', why: 'noisy', sinceMs: sample.fromMs, atMs: sample.toMs, value: sample.noiseMm, limit: NOISY * normal };
    }
    return undefined;
  }

  save(): DoubtWatchSaved {
    const { flatMs, noisy, up } = this;
    const flatSinceMs = Number.isNaN(this.flatSinceMs) ? null : this.flatSinceMs;
    return { flatMs, flatSinceMs, noises: this.noises.toArray(), owns: this.owns.toArray(), noisy, up };
  }
}

/**
 * What one side's readings scatter beyond what the other side shows of the carriage, as a spread: what the filter has learned of noise
 * over hundreds of readings follows a change too late where readings are a minute apart. The range of n normal values is about
 * 2·√(2·ln n) spreads, a little less for few: 3.6 for 15 (Tippett 1925: 3.47), 5.8 for 600 (6.2).
 * 0 where the other side is flat or the two range alike.
 */
function ownNoise({ rangeMm, otherRangeMm, count }: DoubtSample): number {
  if (otherRangeMm === 0 || rangeMm < APART * otherRangeMm || count < 2) return 0;
  return Math.sqrt(rangeMm ** 2 - otherRangeMm ** 2) / (2 * Math.sqrt(2 * Math.log(count)));
}
