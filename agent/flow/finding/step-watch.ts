import type { Step } from '../ledger/window-record.js';
import { medianOf, robustSpread } from '../../units/quantile.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

/** A settled window as the step watch sees it: where the carriage stood, heat taken off. */
export interface StepSample {
  readonly fromMs: number;
  readonly toMs: number;
  /** Position less thermal growth over the gain, mm. */
  readonly restMm: number;
  /** The conveyor stood between the last window and this one, for so long. */
  readonly stoodMs: number;
}

interface Candidate {
  readonly fromMs: number;
  readonly toMs: number;
  readonly baseMm: number;
  readonly limitMm: number;
  readonly whileRunning: boolean;
  readonly after: number[];
}

export interface StepWatchSaved {
  /** Early versions had the time of each before it. */
  readonly before: readonly (number | readonly [number, number])[];
  readonly restarts: readonly number[];
  readonly candidate: (Omit<Candidate, 'after'> & { readonly after: readonly number[] }) | null;
  readonly lastToMs: SavedNumber;
}

/** A step must last so long before it is believed (the on-delay of `change-unrecorded`). */
export const STEP_LASTS_MS = 3600_000;
/** Windows before the step that say where the carriage was. */
const BASE_WINDOWS = 3;
/** What is remembered of usual scatter: two days of windows, and the last restarts. */
const SCATTER_WINDOWS = 288;
const RESTARTS = 24;
/** A step is no step if the hour after it takes back or adds this share of it: heat soaking in looks like that. */
const DRIFT_SHARE = 0.4;

/**
 * Lasting steps of one carriage between settled windows. A step is believed when it exceeds the set-point and the usual scatter, and
 * when for an hour the carriage neither returns nor drifts on: warming up after a cold start does both.
 */
export class StepWatch {
  /** Where it stood, window by window, mm. */
  private before: number[];
  private restarts: number[];
  private candidate: Candidate | undefined;
  private lastToMs: number;

  /** @param limitMm - the least move that counts */
  constructor(
    private readonly limitMm: number,
    saved?: StepWatchSaved,
  ) {
    this.before = (saved?.before ?? []).map((one) => (typeof one === 'number' ? one : one[1]));
    this.restarts = [...(saved?.restarts ?? [])];
    this.candidate = saved?.candidate ? { ...saved.candidate, after: [...saved.candidate.after] } : undefined;
    this.lastToMs = fromSaved(saved?.lastToMs);
  }

  /** The move that is being watched, if any: the carriage stands elsewhere, but not yet for an hour. */
  get pending(): { readonly fromMs: number; readonly toMs: number; readonly moveMm: number } | undefined {
    const { candidate } = this;
    return candidate && { fromMs: candidate.fromMs, toMs: candidate.toMs, moveMm: medianOf(candidate.after) - candidate.baseMm };
  }

  /**
   * Takes the next settled window.
   * @param sure - says of a move in mm that it needs no hour of proof: it is just what a recorded or a whole-repeat change would be
   */
  push(sample: StepSample, sure: (moveMm: number) => boolean): Omit<Step, 'id' | 'takeup'> | undefined {
    if (Number.isNaN(sample.restMm)) return undefined;
    if (this.candidate === undefined) this.open(sample);
    const { candidate } = this;
    this.lastToMs = sample.toMs;
    if (candidate === undefined) {
      this.remember(sample.restMm);
      return undefined;
    }
    candidate.after.push(sample.restMm);
    const moveMm = medianOf(candidate.after) - candidate.baseMm;
    if (this.cameBack(candidate)) {
      // Where it was meanwhile is no place that it could move from.
      this.drop([sample.restMm]);
      return undefined;
    }
    if (sample.toMs - candidate.toMs < STEP_LASTS_MS && !sure(moveMm)) return undefined;
    if (this.drifts(candidate) && !sure(moveMm)) {
      this.drop(candidate.after);
      return undefined;
    }
    this.candidate = undefined;
    this.before = [...candidate.after];
    return { fromMs: candidate.fromMs, toMs: candidate.toMs, moveMm, whileRunning: candidate.whileRunning };
  }

  /** The carriage stands elsewhere from now on, and it is known. */
  restart(): void {
    this.before = [];
    this.candidate = undefined;
  }

  private open(sample: StepSample): void {
    if (this.before.length < BASE_WINDOWS) return;
    const baseMm = medianOf(this.before.slice(-BASE_WINDOWS));
    const moveMm = sample.restMm - baseMm;
    const whileRunning = sample.stoodMs === 0;
    // The usual scatter is worked out only for what passes the set-point.
    const big = Math.abs(moveMm) >= this.limitMm;
    const limitMm = big ? Math.max(this.limitMm, whileRunning ? 4 * this.hop() : 3 * this.usualRestart()) : Infinity;
    if (Math.abs(moveMm) >= limitMm) {
      this.candidate = { fromMs: this.lastToMs, toMs: sample.fromMs, baseMm, limitMm, whileRunning, after: [] };
    } else if (!whileRunning) {
      this.restarts = [...this.restarts, Math.abs(moveMm)].slice(-RESTARTS);
      // A usual restart all the same stands elsewhere: the next window must not be held against where it stood before.
      if (big) this.before = this.before.map((mm) => mm + moveMm);
    }
  }

  private remember(restMm: number): void {
    this.before.push(restMm);
    if (this.before.length > SCATTER_WINDOWS) this.before.shift();
  }

  private cameBack({ after, baseMm, limitMm }: Candidate): boolean {
    return Math.abs((after[after.length - 1] ?? NaN) - baseMm) < 0.6 * limitMm;
  }

  private drifts({ after, baseMm }: Candidate): boolean {
    const third = Math.max(1, Math.floor(after.length / 3));
    const drift = medianOf(after.slice(-third)) - medianOf(after.slice(0, third));
    return Math.abs(drift) > DRIFT_SHARE * Math.abs(medianOf(after) - baseMm);
  }

  /** It was no step: what was seen belongs to the usual scatter, most of all of restarts. */
  private drop(stoodMm: readonly number[]): void {
    const { candidate } = this;
    if (candidate === undefined) return;
    if (!candidate.whileRunning) {
      this.restarts = [...this.restarts, Math.abs((candidate.after[0] ?? NaN) - candidate.baseMm)].slice(-RESTARTS);
    }
    for (const restMm of stoodMm) this.remember(restMm);
    this.candidate = undefined;
  }

  /** Usual move from one window to the next. */
  private hop(): number {
    const { before } = this;
    return robustSpread(before.slice(1).map((mm, index) => mm - (before[index] ?? NaN)));
  }

  /** What a restart usually does, by the larger ones of those seen. */
  private usualRestart(): number {
    if (this.restarts.length < 2) return 0;
    return [...this.restarts].sort((a, b) => a - b)[Math.floor(0.75 * (this.restarts.length - 1))] ?? 0;
  }

  save(): StepWatchSaved {
    return { before: this.before, restarts: this.restarts, candidate: this.candidate ?? null, lastToMs: toSaved(this.lastToMs) };
  }
}
