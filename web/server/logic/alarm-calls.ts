import type { AlarmKey, AlarmState, Priority } from '../../../agent/flow/alarm-key.js';
import type { AlarmOutput } from '../../../agent/flow/output.js';
import { alarmId } from './standing-alarms.js';

/** What the figures need of a transition; without a conveyor it is of the whole site. In order of time. */
export interface AlarmTransition {
  readonly timeMs: number;
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly signal?: string;
  readonly alarm: AlarmKey;
  readonly priority: Priority;
  readonly change: AlarmOutput['change'];
  readonly from: AlarmState;
  readonly to: AlarmState;
}

/** Which alarm it is. */
export interface AlarmName {
  /** The same for as long as it is the same alarm. */
  readonly id: string;
  readonly alarm: AlarmKey;
  readonly priority: Priority;
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly signal?: string;
}

/**
 * One time that an alarm called for somebody: it became unacknowledged (an annunciated alarm of IEC 62682). What rises while it is
 * shelved, suppressed or out of service calls for nobody and is none.
 */
export interface AlarmCall {
  readonly name: AlarmName;
  readonly atMs: number;
  /** When its condition was over; absent as long as it is not. */
  readonly clearedMs?: number;
  /** When somebody first acknowledged, shelved or took it out of service, if that was before it called again. */
  readonly actedMs?: number;
}

/** Somebody acknowledged an alarm. */
interface Acknowledgement {
  readonly atMs: number;
  /**
   * How long it had called for somebody: from the first call since the last time it was acknowledged or set aside. Null where it
   * called already before the first transition that is known of it.
   */
  readonly afterMs: number | null;
}

/** A stretch of time through which an alarm stood: its condition was there, and it was not set aside. */
export interface Stretch {
  readonly name: AlarmName;
  /** Null where it stood already before the first transition that is known of it. */
  readonly fromMs: number | null;
  /** Null where it stands at the end of what is known. */
  readonly toMs: number | null;
}

/** A stretch of time through which an alarm waited to be acknowledged. */
interface Waiting {
  readonly fromMs: number | null;
  readonly toMs: number | null;
}

/** What became of all alarms, each list in order of its beginning. */
export interface AlarmLives {
  readonly calls: readonly AlarmCall[];
  readonly acknowledgements: readonly Acknowledgement[];
  readonly stretches: readonly Stretch[];
  readonly waiting: readonly Waiting[];
}

type Draft<T> = { -readonly [Field in keyof T]: T[Field] };

/** One alarm on its way through its transitions. */
interface Life {
  /** Made once and not at every transition: there may be a hundred thousand. */
  name: AlarmName;
  call?: Draft<AlarmCall>;
  stretch?: Draft<Stretch>;
  waiting?: Draft<Waiting>;
}

const BY_A_PERSON: ReadonlySet<AlarmOutput['change']> = new Set(['acknowledged', 'shelved', 'out-of-service']);

/** Reads what became of every alarm off the transitions. */
export function alarmLives(transitions: readonly AlarmTransition[]): AlarmLives {
  const lives = new Map<string, Life>();
  const calls: AlarmCall[] = [];
  const acknowledgements: Acknowledgement[] = [];
  const stretches: Stretch[] = [];
  const waiting: Waiting[] = [];

  for (const transition of transitions) {
    const { timeMs, change, from, to } = transition;
    const id = alarmId(transition);
    let life = lives.get(id);
    const known = life !== undefined;
    if (life === undefined || life.name.priority !== transition.priority) {
      life = { ...life, name: nameOf(id, transition) };
      lives.set(id, life);
    }
    const { name } = life;
    if (!known) {
      if (stands(from)) stretches.push((life.stretch = { name, fromMs: null, toMs: null }));
      if (waits(from)) waiting.push((life.waiting = { fromMs: null, toMs: null }));
    }
    if (change === 'cleared' && life.call) life.call.clearedMs ??= timeMs;
    if (BY_A_PERSON.has(change) && life.call) life.call.actedMs ??= timeMs;
    if (change === 'acknowledged' && life.waiting) acknowledgements.push({ atMs: timeMs, afterMs: sinceMs(life.waiting, timeMs) });

    if (to === 'unacknowledged' && from !== 'unacknowledged') calls.push((life.call = { name, atMs: timeMs }));
    if (stands(to)) {
      if (!life.stretch) stretches.push((life.stretch = { name, fromMs: timeMs, toMs: null }));
    } else if (life.stretch) {
      life.stretch.toMs = timeMs;
      delete life.stretch;
    }
    if (waits(to)) {
      if (!life.waiting) waiting.push((life.waiting = { fromMs: timeMs, toMs: null }));
    } else if (life.waiting) {
      life.waiting.toMs = timeMs;
      delete life.waiting;
    }
  }
  return { calls, acknowledgements, stretches, waiting };
}

function sinceMs({ fromMs }: Waiting, atMs: number): number | null {
  return fromMs === null ? null : atMs - fromMs;
}

function nameOf(id: string, { alarm, priority, conveyor, takeup, signal }: AlarmTransition): AlarmName {
  return {
    ...{ id, alarm, priority },
    ...(conveyor === undefined ? {} : { conveyor }),
    ...(takeup === undefined ? {} : { takeup }),
    ...(signal === undefined ? {} : { signal }),
  };
}

function stands(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'acknowledged';
}

function waits(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'returned-unacknowledged';
}
