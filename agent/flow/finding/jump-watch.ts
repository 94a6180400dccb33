import { medianOf } from '../../units/quantile.js';
import { MinuteRing } from './minute-ring.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

const MINUTE_MS = 60_000;
/** A jump is over when the carriage has been steady for so long. */
const STEADY_MS = 600_000;

export interface JumpWatchSaved {
  readonly samples: readonly (readonly [number, number])[];
  readonly onset: { readonly atMs: number; readonly baseMm: number; readonly during: readonly number[] } | null;
  readonly up: boolean;
  readonly calmSinceMs: SavedNumber;
  readonly calmMm: SavedNumber;
  readonly ranAtLast: boolean;
}

export type JumpTurn = { readonly turn: 'raised' | 'cleared'; readonly atMs: number; readonly moveMm: number };

/**
 * A sudden move of the carriage: at least so much within a minute, against the median of the minute before, that lasts a minute and
 * began while the conveyor ran. It is over when nothing of the kind was seen for ten minutes.
 */
export class JumpWatch {
  /** Time, position and for how long it ran of the sample that `pushNext` takes: numbers in a typed array are handed over without being boxed. */
  readonly next = new Float64Array(3);
  private readonly samples: MinuteRing;
  private onset: { atMs: number; baseMm: number; during: number[] } | undefined;
  private up: boolean;
  private calmSinceMs: number;
  private calmMm: number;
  /** The last sample was taken with the conveyor running for a minute or more. */
  private ranAtLast: boolean;

  constructor(
    readonly moveMm: number,
    saved?: JumpWatchSaved,
  ) {
    this.samples = new MinuteRing(saved?.samples);
    this.onset = saved?.onset ? { ...saved.onset, during: [...saved.onset.during] } : undefined;
    this.up = saved?.up ?? false;
    this.calmSinceMs = fromSaved(saved?.calmSinceMs);
    this.calmMm = fromSaved(saved?.calmMm);
    this.ranAtLast = saved?.ranAtLast ?? false;
  }

  /**
   * Takes one sample a second of the spike-free mean position.
   * @param ranForMs - for how long the conveyor has been running without a stop; 0 while it stands or is not known to run
   */
  push(timeMs: number, mm: number, ranForMs: number): JumpTurn | undefined {
    const { next } = this;
    next[0] = timeMs;
    next[1] = mm;
    next[2] = ranForMs;
    return this.pushNext();
  }

  /** As `push`, of the sample laid into `next`. */
  pushNext(): JumpTurn | undefined {
    const timeMs = this.next[0] as number;
    const mm = this.next[1] as number;
    this.samples.forgetBefore(timeMs);
    // A drive that trips within seconds may stand already when the move is first read: what counts is that it ran when last read.
    const ran = (this.next[2] as number) >= MINUTE_MS;
    let turn: JumpTurn | undefined;
    if (this.onset) turn = this.follow(timeMs, mm, this.onset);
    else this.look(timeMs, mm, ran || this.ranAtLast);
    this.ranAtLast = ran;
    this.samples.push(timeMs, mm);
    return this.up ? (turn ?? this.calm(timeMs, mm)) : turn;
  }

  private look(timeMs: number, mm: number, beganRunning: boolean): void {
    const { samples } = this;
    if (!beganRunning || samples.size < 3 || !samples.mayBeOff(mm, this.moveMm)) return;
    const baseMm = samples.median();
    if (Math.abs(mm - baseMm) >= this.moveMm) this.onset = { atMs: timeMs, baseMm, during: [mm] };
  }

  private follow(timeMs: number, mm: number, onset: { atMs: number; baseMm: number; during: number[] }): JumpTurn | undefined {
    if (timeMs - onset.atMs < MINUTE_MS) {
      onset.during.push(mm);
      return undefined;
    }
    onset.during.push(mm);
    this.onset = undefined;
    const moveMm = medianOf(onset.during) - onset.baseMm;
    const lasted = Math.abs(moveMm) >= this.moveMm && Math.abs(mm - onset.baseMm) >= this.moveMm;
    if (!lasted) return undefined;
    this.calmSinceMs = timeMs;
    this.calmMm = mm;
    if (this.up) return undefined;
    this.up = true;
    return { turn: 'raised', atMs: onset.atMs + MINUTE_MS, moveMm };
  }

  private calm(timeMs: number, mm: number): JumpTurn | undefined {
    if (this.onset !== undefined || Math.abs(mm - this.calmMm) >= this.moveMm) {
      this.calmSinceMs = timeMs;
      this.calmMm = mm;
      return undefined;
    }
    if (timeMs - this.calmSinceMs < STEADY_MS) return undefined;
    this.up = false;
    return { turn: 'cleared', atMs: this.calmSinceMs + STEADY_MS, moveMm: 0 };
  }

  save(): JumpWatchSaved {
    return {
      samples: this.samples.save(),
      onset: this.onset ?? null,
      up: this.up,
      calmSinceMs: toSaved(this.calmSinceMs),
      calmMm: toSaved(this.calmMm),
      ranAtLast: this.ranAtLast,
    };
  }
}
