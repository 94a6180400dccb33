import { insert, medianOf7, middle } from './median-of-few.js';
import { columnFromSaved, columnToSaved, type SavedNumber } from '../../units/saved.js';

/** Turns a median absolute deviation into the spread of normal noise (Hampel 1974). */
const MAD_TO_SIGMA = 1.4826;
/** Turns a mean absolute deviation into the spread of normal noise: √(π/2). */
const MEAN_TO_SIGMA = 1.2533;
/** Spread of a reading against the mean of its two neighbours, over the spread of noise: √(1 + ¼ + ¼). */
const BEND_OF_NOISE = Math.sqrt(1.5);
/** Readings to either side of the one judged. */
const REACH = 3;
const WINDOW = 2 * REACH + 1;
/** Below this many readings in a window there is no telling a spike from a change. */
const FEWEST = 5;
const ROOM = 64;
/**
 * The MAD of seven readings is a poor estimate of noise: the bare rule flags several per cent of good readings. So the
 * threshold never falls below k times this much of the noise seen over the last hundreds of readings.
 */
const NOISE_FLOOR = 1.2;
const NOISE_MEMORY = 256;
/**
 * A conveyor that starts breathes more than one that stands, and few readings a breath lie far from their median though they bend little:
 * what the last readings show of either counts at once where it is more.
 */
const RECENT_MEMORY = 16;
/** A sensor is hardly coarser than this: a larger first step of a signal that never moved is no resolution, it may be a spike. */
const COARSEST_LEARNT = 1;
/** Until so many readings were judged the noise is hardly known, and the rule is twice as lenient. */
const NOISE_LEARNT = 24;

export interface HampelOptions {
  /** Multiple of the spread beyond which a reading is a spike. */
  readonly k: number;
  /** Sensor's resolution in the unit of the values; absent: the smallest step seen. */
  readonly resolution?: number;
  /** Only readings within this time of the one judged count; for signals faster than one reading a second. */
  readonly reachMs?: number;
}

export interface HampelSaved {
  readonly times: readonly SavedNumber[];
  readonly values: readonly SavedNumber[];
  readonly open: number;
  readonly noise: number;
  readonly recent: number;
  readonly judged: number;
  readonly step: SavedNumber;
}

/**
 * Hampel identifier on a centred window of seven readings (Davies & Gather 1993): a reading further from the window's median
 * than k · 1.4826 · MAD is a spike. A reading is judged when the three after it are in, so the filter lags by three readings.
 * `push` gives how many readings were judged; they stand in `outTime`, `outValue`, `outSpike`.
 */
export class HampelFilter {
  readonly outTime = new Float64Array(WINDOW);
  readonly outValue = new Float64Array(WINDOW);
  readonly outSpike = new Uint8Array(WINDOW);

  /** The reading that `pushNext` takes: its time and value, in a typed array because numbers handed over so are not boxed. */
  readonly next = new Float64Array(2);

  private readonly median = new Float64Array(1);
  /** The window slides along these and goes back to their beginning now and then, so that a reading need not move the six before it. */
  private readonly times = new Float64Array(ROOM);
  private readonly values = new Float64Array(ROOM);
  /** Where the window begins. */
  private first = 0;
  private readonly sorted = new Float64Array(WINDOW);
  private count = 0;
  /** Readings at the end of the window that are not judged yet. */
  private open = 0;
  private noise = 0;
  private recent = 0;
  private judged = 0;
  private step: number;
  private readonly learnsStep: boolean;
  private readonly reachMs: number;

  constructor(
    private readonly options: HampelOptions,
    saved?: HampelSaved,
  ) {
    this.learnsStep = options.resolution === undefined;
    this.step = options.resolution ?? Infinity;
    this.reachMs = options.reachMs ?? Infinity;
    if (saved) {
      this.count = columnFromSaved(this.times, saved.times);
      columnFromSaved(this.values, saved.values);
      this.open = saved.open;
      this.noise = saved.noise;
      this.recent = saved.recent;
      this.judged = saved.judged;
      if (this.learnsStep) this.step = saved.step ?? Infinity;
    }
  }

  /** Takes the next reading in order of time. @returns how many readings were judged by it */
  push(timeMs: number, value: number): number {
    this.next[0] = timeMs;
    this.next[1] = value;
    return this.pushNext();
  }

  /** As `push`, of the reading laid into `next`. */
  pushNext(): number {
    const { times, values } = this;
    const timeMs = this.next[0] as number;
    const value = this.next[1] as number;
    if (this.count === WINDOW) {
      this.first++;
      this.count--;
    }
    if (this.first + this.count === ROOM) this.goBack();
    const end = this.first + this.count;
    if (this.learnsStep && this.count > 0) {
      const move = Math.abs(value - (values[end - 1] as number));
      // Below a millionth of a unit it is floating-point dust of the scaling, not a step of the sensor.
      if (move > 1e-6 && move < this.step) this.step = move;
    }
    times[end] = timeMs;
    values[end] = value;
    this.count++;
    this.open++;
    let out = 0;
    while (this.open > REACH || (this.open > 1 && timeMs - (times[end + 1 - this.open] as number) > this.reachMs)) this.judge(out++);
    return out;
  }

  private goBack(): void {
    this.times.copyWithin(0, this.first);
    this.values.copyWithin(0, this.first);
    this.first = 0;
  }

  /** Judges what is still open with the readings there are: at the end of a recording, or before a gap. */
  flush(): number {
    let out = 0;
    while (this.open > 0) this.judge(out++);
    return out;
  }

  /** Forgets the window, not what was learnt of the noise: after a gap the readings before it are no neighbours. */
  forgetWindow(): void {
    this.first = 0;
    this.count = 0;
    this.open = 0;
  }

  /** The spread of the sensor's noise, and of what motion is too quick for its readings to follow. */
  get noiseSpread(): number {
    return this.noise * MEAN_TO_SIGMA;
  }

  private judge(out: number): void {
    const at = this.count - this.open;
    this.open--;
    this.outTime[out] = this.times[this.first + at] as number;
    this.outValue[out] = this.values[this.first + at] as number;
    this.outSpike[out] = this.isSpike(at) ? 1 : 0;
  }

  /** @param at - place in the window */
  private isSpike(at: number): boolean {
    const { values, times, reachMs, first } = this;
    const time = times[first + at] as number;
    const whole =
      this.count === WINDOW &&
      at === REACH &&
      time - (times[first] as number) <= reachMs &&
      (times[first + WINDOW - 1] as number) - time <= reachMs;
    if (whole) medianOf7(values, first, this.median);
    else this.median[0] = this.medianAbout(at);
    const median = this.median[0] as number;
    if (median !== median) return false;
    const off = Math.abs((values[first + at] as number) - median);
    const k = this.judged < NOISE_LEARNT ? 2 * this.options.k : this.options.k;
    const step = this.learnsStep ? Math.min(this.step, COARSEST_LEARNT) : this.step;
    const floor = k * Math.max(step, NOISE_FLOOR * MEAN_TO_SIGMA * Math.max(this.noise, this.recent));
    const quick = this.bendAt(at, off);
    if (off > floor || quick > floor) return this.isSpikeBySpread(at, k, floor);
    this.learn(quick, Math.max(off, quick));
    return false;
  }

  /** Judges a reading that lies far off, or bends sharply, by the spread of the readings about it: the rule proper. */
  private isSpikeBySpread(at: number, k: number, floor: number): boolean {
    const { sorted } = this;
    const value = this.values[this.first + at] as number;
    const median = this.medianAbout(at);
    const off = Math.abs(value - median);
    const n = this.gather(at);
    for (let i = 0; i < n; i++) sorted[i] = Math.abs((sorted[i] as number) - median);
    for (let i = 1; i < n; i++) insert(sorted, i, sorted[i] as number);
    const limit = Math.max(floor, k * MAD_TO_SIGMA * middle(sorted, n));
    const spike = off > limit;
    // Neither a spike nor the bend beside one may teach the filter to let a burst of them pass.
    const bend = spike || this.besideSpike(at, median, limit) ? off : this.bendAt(at, off);
    const quick = Math.min(bend, spike ? floor / k : limit);
    this.learn(quick, spike ? quick : Math.max(off, quick));
    return spike;
  }

  private learn(quick: number, recent: number): void {
    this.judged++;
    this.noise += (quick - this.noise) / Math.min(this.judged, NOISE_MEMORY);
    this.recent += (recent - this.recent) / Math.min(this.judged, RECENT_MEMORY);
  }

  /** The median of the readings near the one at `at`; NaN where they are too few to tell a spike from a change. */
  private medianAbout(at: number): number {
    const n = this.gather(at);
    return n < FEWEST ? NaN : middle(this.sorted, n);
  }

  /**
   * How far a reading lies off the line between its neighbours, as a measure of noise. On the slope of slow motion the middle reading of
   * seven is their median whatever the noise, so that the distance from the median would teach too little of it.
   */
  private bendAt(at: number, off: number): number {
    if (at === 0 || at === this.count - 1) return off;
    const { values } = this;
    const here = this.first + at;
    return Math.abs((values[here] as number) - ((values[here - 1] as number) + (values[here + 1] as number)) / 2) / BEND_OF_NOISE;
  }

  private besideSpike(at: number, median: number, limit: number): boolean {
    const { values } = this;
    const here = this.first + at;
    const off = (place: number): boolean => Math.abs((values[place] as number) - median) > limit;
    return (at > 0 && off(here - 1)) || (at < this.count - 1 && off(here + 1));
  }

  /** Sorts the readings of the window about the one at `at` into `sorted`. @returns how many there are */
  private gather(at: number): number {
    const { sorted, values, times, reachMs, first } = this;
    const time = times[first + at] as number;
    const last = first + Math.min(this.count - 1, at + REACH);
    let n = 0;
    for (let i = first + Math.max(0, at - REACH); i <= last; i++) {
      if (Math.abs((times[i] as number) - time) <= reachMs) insert(sorted, n++, values[i] as number);
    }
    return n;
  }

  save(): HampelSaved {
    return {
      times: columnToSaved(this.times.subarray(this.first), this.count),
      values: columnToSaved(this.values.subarray(this.first), this.count),
      open: this.open,
      noise: this.noise,
      recent: this.recent,
      judged: this.judged,
      step: this.step === Infinity ? null : this.step,
    };
  }
}
