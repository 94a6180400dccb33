import type { Step } from '../ledger/window-record.js';
import { LastValues } from '../../units/last-values.js';
import { medianOf } from '../../units/quantile.js';
import type { StepSample } from './step-watch.js';

/** Further in than usual for so long, all of it: the hour that a lasting step is given. */
const LASTS_MS = 3600_000;
/** Where the carriage usually stands is the median of so many windows: a day of two shifts, or of three. */
const BASE_WINDOWS = 72;
const FEWEST_BASE = 36;
/** How far in it came on each of the last days. */
const DAYS = 14;
/** A week with its weekend must have been seen: a Monday's start is the coldest. */
const FEWEST_DAYS = 8;
/** So many times as far in as on any of those days is not usual any more; where heat is not measured, mornings go far in. */
const BEYOND_USUAL = 1.5;
/** It is on its way when it stands further in than this share of the limit: the hour runs while it grows. */
const FURTHER_SHARE = 0.6;
/** Where it stands now is the median of so many windows. */
const NOW_WINDOWS = 3;
const DAY_MS = 86_400_000;

export interface CreepWatchSaved {
  readonly base: readonly number[];
  /** Day number and the furthest inwards of the base, mm, as a positive number. */
  readonly days: readonly (readonly [number, number])[];
  readonly beyond: { readonly fromMs: number; readonly toMs: number; readonly depths: readonly number[] } | null;
  readonly lastToMs: number | null;
}

/**
 * A slow move inwards while running, without a jump that a window or two would show: chain that catches more and more, dirt that builds
 * up, a load that grew. Each settled window is held against the median of the windows of about a day before; it counts when for an hour it
 * stands further in than the set-point and than on any of the last days.
 */
export class CreepWatch {
  private readonly base: LastValues;
  private days: (readonly [number, number])[];
  private beyond: { fromMs: number; toMs: number; depths: number[] } | undefined;
  private lastToMs: number;

  /** @param limitMm - the least move that counts */
  constructor(
    private readonly limitMm: number,
    saved?: CreepWatchSaved,
  ) {
    this.base = new LastValues(BASE_WINDOWS, saved?.base);
    this.days = [...(saved?.days ?? [])];
    this.beyond = saved?.beyond ? { ...saved.beyond, depths: [...saved.beyond.depths] } : undefined;
    this.lastToMs = saved?.lastToMs ?? NaN;
  }

  /** Takes the next settled window; those without a known heat say nothing. */
  push({ fromMs, toMs, restMm }: StepSample): Omit<Step, 'id' | 'takeup'> | undefined {
    if (Number.isNaN(restMm)) return undefined;
    const lastMs = this.lastToMs;
    this.lastToMs = toMs;
    const depthMm = this.base.count < FEWEST_BASE ? 0 : this.base.median - restMm;
    const limitMm = this.limit(toMs);
    if (depthMm < FURTHER_SHARE * limitMm) {
      this.remember(toMs, [restMm], Math.max(depthMm, ...(this.beyond?.depths ?? [])));
      this.beyond = undefined;
      return undefined;
    }
    return this.follow(fromMs, toMs, depthMm, lastMs, limitMm);
  }

  private follow(fromMs: number, toMs: number, depthMm: number, lastMs: number, limitMm: number): ReturnType<CreepWatch['push']> {
    const beyond = (this.beyond ??= { fromMs: Number.isNaN(lastMs) ? fromMs : lastMs, toMs: fromMs, depths: [] });
    beyond.depths.push(depthMm);
    const moveMm = -medianOf(beyond.depths.slice(-NOW_WINDOWS));
    if (toMs - beyond.toMs >= LASTS_MS && -moveMm >= limitMm) {
      this.restart();
      return { fromMs: beyond.fromMs, toMs: beyond.toMs, moveMm, whileRunning: true };
    }
    if (beyond.depths.length >= BASE_WINDOWS) {
      // A whole day of it, and no more: that is where it stands now, and usual.
      const middle = this.base.median;
      const rests = beyond.depths.map((depth) => middle - depth);
      this.remember(toMs, rests, Math.max(...beyond.depths));
      this.beyond = undefined;
    }
    return undefined;
  }

  /** The carriage stands elsewhere from now on, and it is known: what it usually does there is learned anew. */
  restart(): void {
    this.base.clear();
    this.beyond = undefined;
  }

  private limit(timeMs: number): number {
    const today = Math.floor(timeMs / DAY_MS);
    const past = this.days.filter(([day]) => day < today);
    const first = past[0]?.[0];
    if (first === undefined || today - first < FEWEST_DAYS) return Infinity;
    return Math.max(this.limitMm, BEYOND_USUAL * past.reduce((most, [, depthMm]) => Math.max(most, depthMm), 0));
  }

  private remember(toMs: number, restsMm: readonly number[], depthMm: number): void {
    for (const restMm of restsMm) this.base.push(restMm);
    const today = Math.floor(toMs / DAY_MS);
    const last = this.days.at(-1);
    if (last?.[0] === today) this.days = [...this.days.slice(0, -1), [today, Math.max(last[1], depthMm)]];
    else this.days = [...this.days, [today, Math.max(0, depthMm)] as const].slice(-DAYS);
  }

  save(): CreepWatchSaved {
    const { days, lastToMs } = this;
    return { base: this.base.toArray(), days, beyond: this.beyond ?? null, lastToMs: Number.isNaN(lastToMs) ? null : lastToMs };
  }
}
