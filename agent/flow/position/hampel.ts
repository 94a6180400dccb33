import { JudgedColumns } from './judged-columns.js';
import { insert, medianOf7, middle, replace } from './median-of-few.js';
import { SlidingWindow } from './sliding-window.js';
import type { SavedNumber } from '../../units/saved.js';

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
/**
 * The MAD of seven readings is a poor estimate of noise: the bare rule flags several per cent of good readings. So the
 * threshold never falls below k times this much of the noise seen over the last hundreds of readings.
 */
const FLOOR_OF_NOISE = 1.2 * MEAN_TO_SIGMA;
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
 * Readings are staged, one or many, and judged together; what was judged stands in `judged`.
 */
export class HampelFilter {
  judged = new JudgedColumns(2 * WINDOW);

  private readonly median = new Float64Array(1);
  private readonly window = new SlidingWindow(WINDOW);
  private readonly sorted = new Float64Array(WINDOW);
  /** Readings at the end of the window that are not judged yet. */
  private open = 0;
  private noise = 0;
  private recent = 0;
  private learnt = 0;
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
      this.window.restore(saved.times, saved.values);
      this.open = saved.open;
      this.noise = saved.noise;
      this.recent = saved.recent;
      this.learnt = saved.judged;
      if (this.learnsStep) this.step = saved.step ?? Infinity;
    }
  }

  /** Takes the next reading in order of time. @returns how many readings were judged by it */
  push(timeMs: number, value: number): number {
    this.stage(timeMs, value);
    return this.judgeStaged();
  }

  /** Lays a reading behind those there are, in order of time, to be judged with others. */
  stage(timeMs: number, value: number): void {
    this.window.stage(timeMs, value);
  }

  /** Takes what is staged into the window, one reading after the other. @returns how many were judged by it */
  judgeStaged(): number {
    const { window } = this;
    const { staged, values, times } = window;
    if (this.judged.room < staged + WINDOW) this.judged = new JudgedColumns(2 * (staged + WINDOW));
    if (window.full && this.open === REACH && this.reachMs === Infinity && this.learnt >= NOISE_MEMORY) return this.judgeSteady();
    let out = 0;
    for (let i = 0; i < staged; i++) {
      const end = window.slide();
      if (this.learnsStep && window.count > 1) this.step = leastStep(this.step, (values[end] as number) - (values[end - 1] as number));
      this.open++;
      while (this.open > REACH || (this.open > 1 && (times[end] as number) - (times[end + 1 - this.open] as number) > this.reachMs)) {
        this.judge(out++);
      }
      this.judged.upTo[i] = out;
    }
    return out;
  }

  /** As `judgeStaged`, of a full window, where each reading has the one three before it judged: nearly always. What is learnt stays at hand. */
  private judgeSteady(): number {
    const { judged, window, sorted } = this;
    const { staged, values, times } = window;
    const { k } = this.options;
    const learntBefore = this.learnt;
    let { noise, recent, step } = this;
    window.gather(REACH, REACH, Infinity, sorted);
    for (let i = 0; i < staged; i++) {
      const oldest = values[window.first] as number;
      const end = window.slide();
      replace(sorted, WINDOW, oldest, values[end] as number);
      if (this.learnsStep) step = leastStep(step, (values[end] as number) - (values[end - 1] as number));
      const at = end - REACH;
      const here = values[at] as number;
      const off = Math.abs(here - (sorted[REACH] as number));
      const quick = bend(values, at);
      const floor = k * Math.max(this.learnsStep ? Math.min(step, COARSEST_LEARNT) : step, FLOOR_OF_NOISE * Math.max(noise, recent));
      let spike = false;
      if (off > floor || quick > floor) {
        this.noise = noise;
        this.recent = recent;
        spike = this.isSpikeBySpread(REACH, k, floor);
        noise = this.noise;
        recent = this.recent;
        // The rule left deviations there.
        window.gather(REACH, REACH, Infinity, sorted);
      } else {
        noise += (quick - noise) / NOISE_MEMORY;
        recent += (Math.max(off, quick) - recent) / RECENT_MEMORY;
      }
      judged.time[i] = times[at] as number;
      judged.value[i] = here;
      judged.spike[i] = spike ? 1 : 0;
      judged.noise[i] = noise * MEAN_TO_SIGMA;
      judged.upTo[i] = i + 1;
    }
    this.noise = noise;
    this.recent = recent;
    this.step = step;
    this.learnt = learntBefore + staged;
    return staged;
  }

  /** Judges what is still open with the readings there are: at the end of a recording, or before a gap. */
  flush(): number {
    let out = 0;
    while (this.open > 0) this.judge(out++);
    return out;
  }

  /** Forgets the window, not what was learnt of the noise: after a gap the readings before it are no neighbours. */
  forgetWindow(): void {
    this.window.clear();
    this.open = 0;
  }

  /** The spread of the sensor's noise, and of what motion is too quick for its readings to follow. */
  get noiseSpread(): number {
    return this.noise * MEAN_TO_SIGMA;
  }

  private judge(out: number): void {
    const { judged, window } = this;
    const at = window.count - this.open;
    this.open--;
    judged.time[out] = window.times[window.first + at] as number;
    judged.value[out] = window.values[window.first + at] as number;
    judged.spike[out] = this.isSpike(at) ? 1 : 0;
    judged.noise[out] = this.noiseSpread;
  }

  /** @param at - place in the window */
  private isSpike(at: number): boolean {
    const { reachMs, window } = this;
    const { values, times, first } = window;
    const time = times[first + at] as number;
    const whole =
      window.full && at === REACH && time - (times[first] as number) <= reachMs && (times[first + WINDOW - 1] as number) - time <= reachMs;
    if (whole) medianOf7(values, first, this.median);
    else this.median[0] = this.medianAbout(at);
    const median = this.median[0] as number;
    if (median !== median) return false;
    const off = Math.abs((values[first + at] as number) - median);
    const k = this.learnt < NOISE_LEARNT ? 2 * this.options.k : this.options.k;
    const step = this.learnsStep ? Math.min(this.step, COARSEST_LEARNT) : this.step;
    const floor = k * Math.max(step, FLOOR_OF_NOISE * Math.max(this.noise, this.recent));
    const quick = this.bendAt(at, off);
    if (off > floor || quick > floor) return this.isSpikeBySpread(at, k, floor);
    this.learn(quick, Math.max(off, quick));
    return false;
  }

  /** Judges a reading that lies far off, or bends sharply, by the spread of the readings about it: the rule proper. */
  private isSpikeBySpread(at: number, k: number, floor: number): boolean {
    const { sorted, window } = this;
    const median = this.medianAbout(at);
    const off = Math.abs((window.values[window.first + at] as number) - median);
    const n = window.gather(at, REACH, this.reachMs, sorted);
    for (let i = 0; i < n; i++) sorted[i] = Math.abs((sorted[i] as number) - median);
    for (let i = 1; i < n; i++) insert(sorted, i, sorted[i] as number);
    const limit = Math.max(floor, k * MAD_TO_SIGMA * middle(sorted, n));
    const spike = off > limit;
    // Neither a spike nor the bend beside one may teach the filter to let a burst of them pass.
    const bent = spike || this.besideSpike(at, median, limit) ? off : this.bendAt(at, off);
    const quick = Math.min(bent, spike ? floor / k : limit);
    this.learn(quick, spike ? quick : Math.max(off, quick));
    return spike;
  }

  private learn(quick: number, recent: number): void {
    this.learnt++;
    this.noise += (quick - this.noise) / Math.min(this.learnt, NOISE_MEMORY);
    this.recent += (recent - this.recent) / Math.min(this.learnt, RECENT_MEMORY);
  }

  /** The median of the readings near the one at `at`; NaN where they are too few to tell a spike from a change. */
  private medianAbout(at: number): number {
    const n = this.window.gather(at, REACH, this.reachMs, this.sorted);
    return n < FEWEST ? NaN : middle(this.sorted, n);
  }

  private bendAt(at: number, off: number): number {
    const { window } = this;
    return at === 0 || at === window.count - 1 ? off : bend(window.values, window.first + at);
  }

  private besideSpike(at: number, median: number, limit: number): boolean {
    const { values, first, count } = this.window;
    const off = (place: number): boolean => Math.abs((values[first + place] as number) - median) > limit;
    return (at > 0 && off(at - 1)) || (at < count - 1 && off(at + 1));
  }

  save(): HampelSaved {
    return {
      ...this.window.save(),
      open: this.open,
      noise: this.noise,
      recent: this.recent,
      judged: this.learnt,
      step: this.step === Infinity ? null : this.step,
    };
  }
}

/** The least step of a sensor seen so far. Below a millionth of a unit a move is floating-point dust of the scaling, not a step. */
function leastStep(least: number, move: number): number {
  const step = Math.abs(move);
  return step > 1e-6 && step < least ? step : least;
}

/**
 * How far a reading lies off the line between its neighbours, as a measure of noise. On the slope of slow motion the middle reading of
 * seven is their median whatever the noise, so that the distance from the median would teach too little of it.
 */
function bend(values: Float64Array, at: number): number {
  return Math.abs((values[at] as number) - ((values[at - 1] as number) + (values[at + 1] as number)) / 2) / BEND_OF_NOISE;
}
