import { LastValues } from '../../units/last-values.js';

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
}

/** Whether a carriage still breathes: each window's to-and-fro against its own normal, sensor noise taken off. */
export class BreathingWatch {
  private readonly normal: LastValues;

  constructor(saved?: BreathingWatchSaved) {
    this.normal = new LastValues(NORMAL_WINDOWS, saved?.normal);
  }

  /** Usual to-and-fro, noise taken off; NaN while too little was seen. */
  normalMm(noiseMm: number): number {
    return this.normal.count < FEWEST_WINDOWS ? NaN : quiet(this.normal.median, noiseMm);
  }

  /**
   * Takes a window's 5–95 % range.
   * @param noiseMm - spread of the sensors' noise on the mean of both sides; 0 where it is not known
   * @returns its share of normal; NaN where noise hides the breathing, or too little was seen yet
   */
  push(breathingMm: number, noiseMm: number): number {
    const normal = this.normalMm(noiseMm);
    const share = quiet(breathingMm, noiseMm) / normal;
    if (!(share < TEACHES_FROM)) this.normal.push(breathingMm);
    return normal < TELLS_FROM * RANGE_OF_SIGMA * noiseMm ? NaN : share;
  }

  save(): BreathingWatchSaved {
    return { normal: this.normal.toArray() };
  }
}

/** The range that is left when noise is taken off: independent spreads add in squares. */
function quiet(rangeMm: number, noiseMm: number): number {
  const noise = RANGE_OF_SIGMA * noiseMm;
  return Math.sqrt(Math.max(0, rangeMm * rangeMm - noise * noise));
}
