import type { SideName } from '../../site/site.js';
import type { AlarmOutput, Output } from '../output.js';
import type { AlarmRecord, Seen } from './alarm-record.js';
import { Condition, Turn, type ConditionSaved, type Holder } from './condition.js';
import type { AlarmDefinition, LimitContext } from './definition.js';

const SIDES: readonly SideName[] = ['left', 'right'];

/** A value a hair beyond its set-point by rounding alone is at it: 0.2 · 230 is not quite 46 in binary. */
const ROUNDING = 1e-9;

export interface WatchSaved {
  readonly conditions: readonly ConditionSaved[];
}

/** Something that suppresses an alarm by design while it lasts: an open service, or an alarm that says more. */
export interface Suppressor {
  readonly up: boolean;
  /** When it last let go: readings are judged a little late, and none from before may raise an alarm at its own time. */
  readonly releasedMs?: number;
}

/** The clocks a value is judged on: the data's own time, and the running time of the conveyor, both in ms. */
export interface Clocks {
  timeMs: number;
  runningMs: number;
  /** 1 running, 0 standing, NaN unknown. */
  running: number;
}

/**
 * One row of the alarm list on one take-up: the set-points worked out, and a condition for each side that the row judges.
 * The alarm is up while any side's condition is.
 */
export class Watch implements Holder {
  readonly conditions: readonly Condition[];
  /** By side, in terms of `sign · value`: at or below this the alarm is over its set-point. */
  readonly raiseAt: Float64Array;
  private readonly clearAt: Float64Array;
  private readonly limits: Float64Array;
  /** Judged as if every alarm were a low one: a high alarm looks at the negated value. */
  readonly sign: 1 | -1;
  readonly twoSided: boolean;
  private readonly onRunningClock: boolean;

  constructor(
    readonly definition: AlarmDefinition,
    readonly record: AlarmRecord,
    contexts: readonly [LimitContext, LimitContext],
    private readonly suppressors: readonly Suppressor[],
    saved?: WatchSaved,
    /** Its alarm rose, cleared, or would have risen: what rests under it, or what it rests under, is seen to. */
    private readonly turned: (atMs: number, out: Output[]) => void = () => undefined,
  ) {
    this.twoSided = definition.measure.endsWith('-side');
    this.onRunningClock = definition.on.by === 'running';
    this.sign = definition.beyond === 'at-or-below' ? 1 : -1;
    const own = contexts[0].takeup.limits[definition.key];
    const onSeconds = own?.['on_delay_s'];
    const delays = {
      onMs: 1000 * (onSeconds ?? (definition.on.by === 'readings' ? 0 : definition.on.seconds)),
      onReadings: definition.on.by === 'readings' && onSeconds === undefined ? definition.on.readings : 1,
      offMs: 1000 * (own?.['off_delay_s'] ?? definition.offSeconds),
    };
    const count = this.twoSided ? 2 : 1;
    this.conditions = Array.from({ length: count }, (_, side) => new Condition(delays, saved?.conditions[side]));
    this.raiseAt = new Float64Array(count);
    this.clearAt = new Float64Array(count);
    this.limits = new Float64Array(count);
    contexts.slice(0, count).forEach((context, side) => {
      this.setLimit(side, context);
    });
  }

  /** Works the set-points out anew, as when a spring is replaced. */
  setLimit(side: number, context: LimitContext): void {
    const { definition } = this;
    if (side >= this.limits.length) return;
    const own = context.takeup.limits[definition.key];
    const limit = (definition.field === null ? undefined : own?.[definition.field]) ?? definition.limit(context);
    if (limit === undefined) {
      // Nothing is at or below NaN: the alarm is off.
      this.limits[side] = this.raiseAt[side] = this.clearAt[side] = NaN;
      return;
    }
    const deadband = own?.['deadband'] ?? definition.deadband(limit, context);
    const slip = ROUNDING * (Math.abs(limit) + 1);
    this.limits[side] = limit;
    this.raiseAt[side] = this.sign * limit + slip;
    this.clearAt[side] = this.sign * limit + deadband + (definition.clearsPast ? slip : deadband > 0 ? -slip : 0);
  }

  get held(): boolean {
    return this.suppressors.some(({ up }) => up);
  }

  /** No set-point: nothing can be beyond it. */
  get off(): boolean {
    return this.limits.every((limit) => Number.isNaN(limit));
  }

  get limit(): number {
    return this.limits[0] as number;
  }

  /**
   * Judges a value and writes what follows from it to `out`.
   * @param side - 0 left, 1 right; 0 where the row is not about a side
   * @param value - in the row's unit; NaN where unknown, which clears nothing
   */
  judge(side: number, value: number, clocks: Clocks, out: Output[]): void {
    const condition = this.conditions[side] as Condition;
    let judged = this.sign * value;
    if (this.definition.needsRunning && clocks.running !== 1) {
      if (this.onRunningClock) return;
      judged = NaN;
    }
    const over = judged <= (this.raiseAt[side] as number);
    const under = !over && judged > (this.clearAt[side] as number);
    const clock = this.onRunningClock ? clocks.runningMs : clocks.timeMs;
    const turn = condition.step(clock, over, under, this);
    if (turn === Turn.none) return;
    const at = this.onRunningClock ? clocks.timeMs - (clock - condition.turnedAt) : condition.turnedAt;
    if (turn === Turn.held) {
      this.record.hold(clocks.timeMs, this.seen(side, value));
      this.turned(clocks.timeMs, out);
      return;
    }
    const event = turn === Turn.raised ? this.rise(side, value, at) : this.fall(value, at);
    if (event === undefined) return;
    out.push(event);
    this.turned(event.timeMs, out);
  }

  /** Its condition has come and is held back: it would be up, were it not suppressed by design. */
  get holding(): boolean {
    return this.conditions.some(({ holding }) => holding);
  }

  private seen(side: number, value: number): Seen {
    return { value, limit: this.limits[side] as number, side: this.twoSided ? (SIDES[side] as SideName) : null };
  }

  private rise(side: number, value: number, atMs: number): AlarmOutput | undefined {
    if (this.record.up) return undefined;
    const freeMs = this.suppressors.reduce((latest, { releasedMs = -Infinity }) => Math.max(latest, releasedMs), atMs);
    return this.record.raise(freeMs, this.seen(side, value));
  }

  private fall(value: number, atMs: number): AlarmOutput | undefined {
    if (!this.record.up || this.conditions.some((condition) => condition.up)) return undefined;
    return this.record.clear(atMs, value);
  }

  save(): WatchSaved {
    return { conditions: this.conditions.map((condition) => condition.save()) };
  }
}
