import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';

export interface ConditionDelays {
  /** How long the condition must hold, in milliseconds of the clock handed in. */
  readonly onMs: number;
  /** How many readings in a row it must hold, where it is counted rather than timed; else 1. */
  readonly onReadings: number;
  /** How long the all-clear must hold. */
  readonly offMs: number;
}

/** What a step of a condition did: `held` where it would have turned on, the first time. Numbers, because it is asked for every reading. */
export const Turn = Object.freeze({ none: 0, raised: 1, cleared: 2, held: 3 });
export type Turn = (typeof Turn)[keyof typeof Turn];

const CLEAR = 0;
const PENDING = 1;
const UP = 2;
const CLEARING = 3;

export interface ConditionSaved {
  readonly phase: number;
  readonly since: SavedNumber;
  readonly readings: number;
}

/** Whether a raise is suppressed by design now. Asked only when an alarm is about to rise. */
export interface Holder {
  readonly held: boolean;
}

/**
 * On-delay, off-delay and deadband of one alarm condition (IEC 62682 §alarm attributes): it turns on when `over` has held for the
 * on-delay, off when `under` has held for the off-delay; between the two limits it stays as it is. A step with neither, as for an
 * unknown value, breaks a delay that runs and clears nothing.
 */
export class Condition {
  /** When the last turn happened, on the clock that was handed in. */
  turnedAt = NaN;
  private phase = CLEAR;
  private since = NaN;
  private readings = 0;

  constructor(
    private readonly delays: ConditionDelays,
    saved?: ConditionSaved,
  ) {
    if (saved) {
      this.phase = saved.phase;
      this.since = fromSaved(saved.since);
      this.readings = saved.readings;
    }
  }

  /** Nothing is up, nothing pending: a value that is not over leaves it so. */
  get idle(): boolean {
    return this.phase === CLEAR;
  }

  get up(): boolean {
    return this.phase >= UP;
  }

  /** It would be up, had it not been held. */
  get holding(): boolean {
    return this.phase === PENDING && Number.isNaN(this.since);
  }

  /**
   * @param clock - time in ms on which the delays run; never goes back
   * @param over - the value is beyond the limit
   * @param under - the value is back beyond the limit and the deadband
   * @param holder - while it holds, no turn to up happens; it happens at the first step that is not held
   */
  step(clock: number, over: boolean, under: boolean, holder: Holder): Turn {
    switch (this.phase) {
      case CLEAR:
        if (!over) return Turn.none;
        this.phase = PENDING;
        this.since = clock;
        this.readings = 1;
        return this.tryRaise(clock, holder);
      case PENDING:
        if (!over) {
          this.phase = CLEAR;
          return Turn.none;
        }
        this.readings++;
        return this.tryRaise(clock, holder);
      case UP:
        if (!under) return Turn.none;
        this.phase = CLEARING;
        this.since = clock;
        return this.tryClear(clock);
      default:
        if (!under) {
          this.phase = UP;
          return Turn.none;
        }
        return this.tryClear(clock);
    }
  }

  private tryRaise(clock: number, holder: Holder): Turn {
    if (clock - this.since < this.delays.onMs || this.readings < this.delays.onReadings) return Turn.none;
    if (holder.held) {
      const news = !Number.isNaN(this.since);
      // When it is let go it rises there and then, not at a time long past.
      this.readings = Math.max(this.readings, this.delays.onReadings);
      this.since = NaN;
      return news ? Turn.held : Turn.none;
    }
    this.phase = UP;
    this.turnedAt = this.delays.onReadings > 1 || Number.isNaN(this.since) ? clock : this.since + this.delays.onMs;
    return Turn.raised;
  }

  private tryClear(clock: number): Turn {
    if (clock - this.since < this.delays.offMs) return Turn.none;
    this.phase = CLEAR;
    this.turnedAt = this.since + this.delays.offMs;
    return Turn.cleared;
  }

  save(): ConditionSaved {
    return { phase: this.phase, since: toSaved(this.since), readings: this.readings };
  }
}
