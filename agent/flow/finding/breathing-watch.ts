import { medianOf } from '../../units/quantile.js';

/** The 5–95 % range of normal noise, in units of its spread: 2 · 1.6449. */
const RANGE_OF_SIGMA = 3.29;
/** So many windows say what is normal; they are about ten days of shifts. */
const NORMAL_WINDOWS = 400;
const FEWEST_WINDOWS = 72;
/** A window that breathes less than this share of normal does not teach what is normal. */
const TEACHES_FROM = 0.5;
/** Normal breathing under this many times the noise cannot be told from none. */
const TELLS_FROM = 3;

export interface BreathingWatchSaved {
  readonly normal: readonly number[];
  readonly noise: number | null;
}

/** Whether a carriage still breathes: each window's to-and-fro against its own normal, sensor noise taken off. */
export class BreathingWatch {
  private normal: number[];
  /** Spread of the mean of both sensors at its quietest, mm. */
  private noiseMm: number;

  constructor(saved?: BreathingWatchSaved) {
    this.normal = [...(saved?.normal ?? [])];
    this.noiseMm = saved?.noise ?? Infinity;
  }

  /** The sensors' noise seen now, spread of the mean of both sides in mm: the least of it is noise alone, without the chain's motion. */
  hear(noiseMm: number): void {
    if (noiseMm < this.noiseMm) this.noiseMm = noiseMm;
  }

  /** Usual to-and-fro, noise taken off; NaN while too little was seen. */
  get normalMm(): number {
    return this.normal.length < FEWEST_WINDOWS ? NaN : this.quiet(medianOf(this.normal));
  }

  /** Whether noise hides so much of the breathing that it cannot be judged. */
  get hidden(): boolean {
    return this.normalMm < TELLS_FROM * RANGE_OF_SIGMA * this.noise;
  }

  /** Takes a window's 5–95 % range. @returns its share of normal; NaN where that cannot be judged */
  push(breathingMm: number): number {
    const { normalMm } = this;
    const share = this.quiet(breathingMm) / normalMm;
    if (!(share < TEACHES_FROM)) this.normal = [...this.normal, breathingMm].slice(-NORMAL_WINDOWS);
    return this.hidden ? NaN : share;
  }

  private get noise(): number {
    return Number.isFinite(this.noiseMm) ? this.noiseMm : 0;
  }

  private quiet(rangeMm: number): number {
    const noise = RANGE_OF_SIGMA * this.noise;
    return Math.sqrt(Math.max(0, rangeMm * rangeMm - noise * noise));
  }

  save(): BreathingWatchSaved {
    return { normal: this.normal, noise: Number.isFinite(this.noiseMm) ? this.noiseMm : null };
  }
}
