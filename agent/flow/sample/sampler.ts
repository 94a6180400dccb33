import type { Signal } from '../../site/site.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import type { UnknownReason } from '../../units/unknown.js';
import { NE43 } from './ne43.js';
import { linearOf } from './scale.js';

/** What became of one reading. Numbers, because this is asked for every reading of every sensor. */
export const Verdict = Object.freeze({ good: 0, bad: 1, uncertain: 2, late: 3, duplicate: 4 });
export type Verdict = (typeof Verdict)[keyof typeof Verdict];

/** How many readings in a row make a fault, and how many good ones end it (alarms.md §1). */
export const READINGS_TO_JUDGE = 3;

export interface SamplerSaved {
  readonly lastMs: SavedNumber;
  readonly lastGoodMs: SavedNumber;
  readonly value: SavedNumber;
  readonly lost: boolean;
  readonly fault: boolean;
  readonly badRun: number;
  readonly goodRun: number;
  readonly sinceLost: number;
  readonly waitFromMs: SavedNumber;
}

/**
 * Scale and validity of one signal: raw value in, engineering value out, with the signal's standing.
 * A signal is lost when nothing came for `lostAfterMs`, and found again after three readings; it is at fault after three
 * readings in a row that are not a number, in a failure band (NE 43) or outside `valid`, and well again after three good ones.
 */
export class Sampler {
  /** Engineering value of the last good reading (mm, °C, m/min, 1 or 0). */
  value = NaN;
  /** The last reading before scale, good or not; NaN where it was no number. Not kept over a restart. */
  raw = NaN;
  /** Time of the last reading of any worth. */
  lastMs = NaN;
  lastGoodMs = NaN;
  lost = false;
  fault = false;

  private badRun = 0;
  private goodRun = 0;
  private sinceLost = 0;
  private waitFromMs = NaN;
  private readonly gain: number;
  private readonly offset: number;
  private readonly low: number;
  private readonly high: number;
  private readonly milliamp: boolean;

  constructor(
    readonly signal: Signal,
    saved?: SamplerSaved,
  ) {
    const linear = linearOf(signal);
    this.gain = linear.gain;
    this.offset = linear.offset;
    // A running signal says yes or no, as 1 or 0.
    const state = signal.quantity === 'running';
    this.low = signal.valid?.[0] ?? (state ? 0 : -Infinity);
    this.high = signal.valid?.[1] ?? (state ? 1 : Infinity);
    this.milliamp = signal.unit === 'mA' && signal.valid === undefined;
    if (saved) {
      this.value = fromSaved(saved.value);
      this.lastMs = fromSaved(saved.lastMs);
      this.lastGoodMs = fromSaved(saved.lastGoodMs);
      this.lost = saved.lost;
      this.fault = saved.fault;
      this.badRun = saved.badRun;
      this.goodRun = saved.goodRun;
      this.sinceLost = saved.sinceLost;
      this.waitFromMs = fromSaved(saved.waitFromMs);
    }
  }

  /** Starts the wait for the first reading: from here on silence counts. Does nothing once a reading has come. */
  expectFrom(timeMs: number): void {
    if (Number.isNaN(this.lastMs) && Number.isNaN(this.waitFromMs)) this.waitFromMs = timeMs;
  }

  /** The instant at which the signal will be lost if nothing comes; Infinity while it is lost. */
  get lostAtMs(): number {
    if (this.lost) return Infinity;
    // Either may be unset; the later one counts.
    const from = this.lastMs >= this.waitFromMs || Number.isNaN(this.waitFromMs) ? this.lastMs : this.waitFromMs;
    return Number.isNaN(from) ? Infinity : from + this.signal.lostAfterMs;
  }

  /**
   * Nobody listened until now: silence counts from here, and a value that has grown older than silence may is no longer known.
   * @returns whether the value was given up
   */
  interrupt(timeMs: number): boolean {
    // Also after a short while: what is left of the last wait may be less than a slow signal takes to speak again.
    this.waitFromMs = timeMs;
    if (Number.isNaN(this.value) || timeMs - this.lastGoodMs <= this.signal.lostAfterMs) return false;
    this.value = NaN;
    return true;
  }

  /** Says that the silence has lasted too long. */
  loseNow(): void {
    this.lost = true;
    this.sinceLost = 0;
  }

  /** The engineering value of a raw one. */
  scaled(raw: number): number {
    return this.offset + this.gain * raw;
  }

  /**
   * Takes a reading that is as nearly all are: good, later than the last, of a signal that is neither lost nor at fault.
   * @returns false, with nothing taken, where it is anything else
   */
  pushPlain(timeMs: number, raw: number): boolean {
    if (!(timeMs > this.lastMs) || this.lost || this.fault) return false;
    const value = this.scaled(raw);
    if (this.milliamp ? !(raw >= NE43.measureLowMa && raw <= NE43.measureHighMa) : !(value >= this.low && value <= this.high)) return false;
    if (value - value !== 0) return false;
    this.lastMs = timeMs;
    this.raw = raw;
    this.badRun = 0;
    this.value = value;
    this.lastGoodMs = timeMs;
    return true;
  }

  /** Takes a reading. @param raw - the payload's number before scale; NaN where it was none */
  push(timeMs: number, raw: number): Verdict {
    if (this.pushPlain(timeMs, raw)) return Verdict.good;
    if (timeMs <= this.lastMs) return timeMs === this.lastMs ? Verdict.duplicate : Verdict.late;
    this.lastMs = timeMs;
    this.raw = raw;
    if (this.lost && ++this.sinceLost >= READINGS_TO_JUDGE) this.lost = false;
    const value = this.scaled(raw);
    if (this.milliamp) {
      if (!(raw > NE43.failLowMa && raw < NE43.failHighMa)) return this.takeBad();
      // Neither failure nor measurement: the last value is held, and neither count goes on.
      if (raw < NE43.measureLowMa || raw > NE43.measureHighMa) return Verdict.uncertain;
    } else if (!(value >= this.low && value <= this.high) || value - value !== 0) {
      return this.takeBad();
    }
    this.badRun = 0;
    if (this.fault && ++this.goodRun >= READINGS_TO_JUDGE) this.fault = false;
    this.value = value;
    this.lastGoodMs = timeMs;
    return Verdict.good;
  }

  private takeBad(): Verdict {
    this.goodRun = 0;
    if (++this.badRun >= READINGS_TO_JUDGE) this.fault = true;
    return Verdict.bad;
  }

  /** Why the signal's value is not known; undefined where it is. */
  get whyUnknown(): UnknownReason | undefined {
    if (this.lost) return Number.isNaN(this.lastMs) ? 'never-read' : 'signal-lost';
    if (this.fault) return 'signal-fault';
    return Number.isNaN(this.value) ? 'never-read' : undefined;
  }

  get known(): boolean {
    return !this.lost && !this.fault && this.value === this.value;
  }

  save(): SamplerSaved {
    return {
      lastMs: toSaved(this.lastMs),
      lastGoodMs: toSaved(this.lastGoodMs),
      value: toSaved(this.value),
      lost: this.lost,
      fault: this.fault,
      badRun: this.badRun,
      goodRun: this.goodRun,
      sinceLost: this.sinceLost,
      waitFromMs: toSaved(this.waitFromMs),
    };
  }
}
