import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import type { Signal } from '../../site/site.js';
import { HampelFilter, type HampelSaved } from './hampel.js';
import { LowPass, type LowPassSaved } from './low-pass.js';

/** Settings of the signal chain (mechanics §5); the bench changes them, the site does not. */
export interface FilterSettings {
  /** Hampel's k. */
  readonly spikeK: number;
  /** Time constant of the smoothing, in seconds; one period of the signal where that is longer. */
  readonly smoothingS: number;
}

export const DEFAULT_FILTER: FilterSettings = Object.freeze({ spikeK: 3, smoothingS: 30 });

/** Places in `extent`. */
export const Extent = { least: 0, most: 1, smoothLeast: 2, smoothMost: 3 } as const;

/** To either side of a reading, where readings come faster than one a second (mechanics §5 step 2). */
const FAST_REACH_MS = 3000;

export interface PositionFilterSaved {
  readonly hampel: HampelSaved;
  readonly smooth: LowPassSaved;
  readonly timeMs: SavedNumber;
  readonly spikeFree: SavedNumber;
}

/** De-spiking and smoothing of one length signal: a carriage side or a spring. */
export class PositionFilter {
  /** Time, spike-free value and smoothed value of the last reading that was judged good; the spread of the noise as known then. */
  timeMs = NaN;
  spikeFree = NaN;
  smoothed = NaN;
  noiseSpread = NaN;
  /** Spike-free and smoothed values since the last reading taken lay within these, and those judged but not taken yet. NaN: not known. */
  readonly extent = new Float64Array(4).fill(NaN);
  /** How many of the judged readings were taken, by `takeNext`. */
  taken = 0;

  private readonly hampel: HampelFilter;
  private readonly smooth: LowPass;
  private smoothedColumn = new Float64Array(0);

  constructor(signal: Signal, settings: FilterSettings, saved?: PositionFilterSaved) {
    this.hampel = new HampelFilter(
      {
        k: settings.spikeK,
        ...(signal.resolutionMm === undefined ? {} : { resolution: signal.resolutionMm }),
        ...(signal.periodS < 1 ? { reachMs: FAST_REACH_MS } : {}),
      },
      saved?.hampel,
    );
    this.smooth = new LowPass(Math.max(settings.smoothingS, signal.periodS) * 1000, saved?.smooth);
    if (saved) {
      this.timeMs = fromSaved(saved.timeMs);
      this.spikeFree = fromSaved(saved.spikeFree);
    }
    this.smoothed = this.smooth.value;
    this.noiseSpread = this.hampel.noiseSpread;
  }

  /** Lays a reading behind those there are, to be judged with others. */
  stage(timeMs: number, value: number): void {
    this.hampel.stage(timeMs, value);
  }

  /** Judges what was staged. Each good reading is smoothed; `takeNext` gives them out one after the other. */
  judgeStaged(): void {
    this.smoothJudged(this.hampel.judgeStaged());
  }

  /** Judges with the neighbours there are what waited for more. @returns how many readings `takeNext` has to give */
  judgeWaiting(): number {
    const count = this.hampel.flush();
    this.smoothJudged(count);
    return count;
  }

  /** How many readings were judged when the staged one was in, counted from the first that `judgeStaged` judged. */
  judgedUpTo(staged: number): number {
    return this.hampel.judged.upTo[staged] as number;
  }

  private smoothJudged(count: number): void {
    const { hampel, smooth, extent } = this;
    const { time, value, spike } = hampel.judged;
    if (this.smoothedColumn.length < time.length) this.smoothedColumn = new Float64Array(time.length);
    const { smoothedColumn } = this;
    this.taken = 0;
    extent[Extent.least] = extent[Extent.most] = this.spikeFree;
    extent[Extent.smoothLeast] = extent[Extent.smoothMost] = this.smoothed;
    for (let i = 0; i < count; i++) {
      if (spike[i] === 1) continue;
      const free = value[i] as number;
      const smoothed = smooth.push(time[i] as number, free);
      smoothedColumn[i] = smoothed;
      if (free < (extent[Extent.least] as number)) extent[Extent.least] = free;
      if (free > (extent[Extent.most] as number)) extent[Extent.most] = free;
      if (smoothed < (extent[Extent.smoothLeast] as number)) extent[Extent.smoothLeast] = smoothed;
      if (smoothed > (extent[Extent.smoothMost] as number)) extent[Extent.smoothMost] = smoothed;
    }
  }

  /** Time of the judged reading that comes next. */
  get nextTimeMs(): number {
    return this.hampel.judged.time[this.taken] as number;
  }

  /** Takes the judged reading that comes next. @returns false where it is a spike */
  takeNext(): boolean {
    const { time, value, spike, noise } = this.hampel.judged;
    const at = this.taken++;
    if (spike[at] === 1) return false;
    this.timeMs = time[at] as number;
    this.spikeFree = value[at] as number;
    this.smoothed = this.smoothedColumn[at] as number;
    this.noiseSpread = noise[at] as number;
    return true;
  }

  /** After a gap or a fault: what came before is no neighbour of what comes now. */
  restart(): void {
    this.hampel.forgetWindow();
    this.smooth.forget();
    this.timeMs = NaN;
    this.spikeFree = NaN;
    this.smoothed = NaN;
    this.extent.fill(NaN);
  }

  save(): PositionFilterSaved {
    return { hampel: this.hampel.save(), smooth: this.smooth.save(), timeMs: toSaved(this.timeMs), spikeFree: toSaved(this.spikeFree) };
  }
}
