import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

export interface LowPassSaved {
  readonly timeMs: SavedNumber;
  readonly value: SavedNumber;
}

/**
 * First-order low pass for irregular sampling: each new value weighs 1 − exp(−Δt/τ). With a constant Δt it is the
 * exponentially weighted moving average with λ = 1 − exp(−Δt/τ) (NIST/SEMATECH e-Handbook 6.3.2.4).
 */
export class LowPass {
  value = NaN;
  private timeMs = NaN;
  private lastStepMs = NaN;
  private lastWeight = 1;

  /** @param tauMs - time constant in milliseconds, above 0 */
  constructor(
    private readonly tauMs: number,
    saved?: LowPassSaved,
  ) {
    if (saved) {
      this.timeMs = fromSaved(saved.timeMs);
      this.value = fromSaved(saved.value);
    }
  }

  /** Takes a value in order of time and gives the smoothed one; the first value is taken as it is. */
  push(timeMs: number, value: number): number {
    const stepMs = timeMs - this.timeMs;
    this.timeMs = timeMs;
    if (!(stepMs >= 0)) {
      this.value = value;
      return value;
    }
    if (stepMs !== this.lastStepMs) {
      this.lastStepMs = stepMs;
      this.lastWeight = 1 - Math.exp(-stepMs / this.tauMs);
    }
    this.value += this.lastWeight * (value - this.value);
    return this.value;
  }

  /** Starts anew with the next value: after a gap, what was smoothed before says nothing. */
  forget(): void {
    this.timeMs = NaN;
    this.value = NaN;
  }

  save(): LowPassSaved {
    return { timeMs: toSaved(this.timeMs), value: toSaved(this.value) };
  }
}
