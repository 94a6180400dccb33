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
  /** Time, spike-free value and smoothed value of the last reading that was judged good. */
  timeMs = NaN;
  spikeFree = NaN;
  readonly hampel: HampelFilter;
  readonly smooth: LowPass;

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
  }

  get smoothed(): number {
    return this.smooth.value;
  }

  /** Takes one judged reading of the Hampel filter. @returns false where it was a spike */
  take(index: number): boolean {
    if (this.hampel.outSpike[index] === 1) return false;
    this.timeMs = this.hampel.outTime[index] as number;
    this.spikeFree = this.hampel.outValue[index] as number;
    this.smooth.push(this.timeMs, this.spikeFree);
    return true;
  }

  /** After a gap or a fault: what came before is no neighbour of what comes now. */
  restart(): void {
    this.hampel.forgetWindow();
    this.smooth.forget();
    this.timeMs = NaN;
    this.spikeFree = NaN;
  }

  save(): PositionFilterSaved {
    return { hampel: this.hampel.save(), smooth: this.smooth.save(), timeMs: toSaved(this.timeMs), spikeFree: toSaved(this.spikeFree) };
  }
}
