import type { SideName } from '../../site/site.js';
import type { AlarmKey, AlarmState, SuppressedBy } from '../alarm-key.js';
import type { AlarmOutput } from '../output.js';
import { after, AT_REST, stateOf, type AlarmHappening, type AlarmStanding, type OutOfService, type Shelf } from './alarm-state.js';
import type { AlarmTerms } from './alarm-terms.js';

/** Whose alarm it is. */
export interface AlarmPlace {
  readonly conveyor: string;
  readonly takeup?: string;
  readonly signal?: string;
}

export interface AlarmRecordSaved {
  readonly active: boolean;
  readonly acknowledged: boolean;
  readonly sinceMs: number;
  readonly changedMs: number;
  readonly value: number | null;
  readonly limit: number | null;
  readonly side: SideName | null;
  /** Left out where they do not apply, as they are in what earlier versions saved. */
  readonly latched?: true;
  readonly suppressedBy?: SuppressedBy;
  readonly shelf?: Shelf;
  readonly outOfService?: OutOfService;
}

/** What is seen of a condition when it comes. */
export interface Seen {
  readonly value: number;
  readonly limit: number | null;
  readonly side: SideName | null;
}

/** Why an alarm is suppressed by design, in words. */
function whySuppressed(by: SuppressedBy): string {
  if (by === 'service') return 'a service is open on the take-up';
  return by === 'standing' ? 'the conveyor stands' : `${by} is up and says more`;
}

/** One alarm, its state of IEC 62682 and what was seen when its condition last came or went. Every transition is an event. */
export class AlarmRecord {
  sinceMs = 0;
  changedMs = 0;
  value: number | null = null;
  limit: number | null = null;
  side: SideName | null = null;
  private standing: AlarmStanding = AT_REST;

  constructor(
    readonly place: AlarmPlace,
    readonly key: AlarmKey,
    readonly terms: AlarmTerms,
    saved?: AlarmRecordSaved,
  ) {
    if (saved) {
      const { sinceMs, changedMs, value, limit, side, latched = false, ...standing } = saved;
      this.standing = { ...standing, latched };
      this.sinceMs = sinceMs;
      this.changedMs = changedMs;
      this.value = value;
      this.limit = limit;
      this.side = side;
    }
  }

  get state(): AlarmState {
    return stateOf(this.standing);
  }

  /** Its condition is there. */
  get up(): boolean {
    return this.standing.active;
  }

  get shelf(): Shelf | undefined {
    return this.standing.shelf;
  }

  get outOfService(): OutOfService | undefined {
    return this.standing.outOfService;
  }

  get suppressedBy(): SuppressedBy | undefined {
    return this.standing.suppressedBy;
  }

  /** Its condition has gone, and it asks to be acknowledged all the same. */
  get latched(): boolean {
    return this.standing.latched;
  }

  /** It would be something else than normal if nothing held it. */
  get concerned(): boolean {
    const { active, latched, acknowledged } = this.standing;
    return active || latched || !acknowledged;
  }

  /** It is up and people are told of it: an alarm that says less rests under it. */
  get announced(): boolean {
    return this.standing.active && this.standing.shelf === undefined && this.standing.outOfService === undefined;
  }

  raise(timeMs: number, seen: Seen): AlarmOutput {
    const from = this.state;
    this.see(timeMs, seen);
    this.standing = after(this.standing, { happens: 'raised' }) as AlarmStanding;
    return this.event(timeMs, 'raised', from);
  }

  clear(timeMs: number, value: number): AlarmOutput {
    const from = this.state;
    this.value = Number.isFinite(value) ? value : null;
    this.standing = after(this.standing, { happens: 'cleared', latches: this.terms.latch }) ?? this.standing;
    return this.event(timeMs, 'cleared', from);
  }

  /** Its condition has come and would raise it, were it not suppressed by design. */
  hold(timeMs: number, seen: Seen): void {
    if (!this.concerned) this.see(timeMs, seen);
  }

  /** @returns undefined where there is nothing to acknowledge */
  acknowledge(timeMs: number, by: string): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'acknowledged' }, { by });
  }

  /** @returns undefined where its state is the same as before, as it is where a person has set it aside */
  suppress(timeMs: number, suppressedBy: SuppressedBy): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'suppressed', suppressedBy }, { why: whySuppressed(suppressedBy) });
  }

  /** @returns undefined where its state is the same as before */
  release(timeMs: number): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'unsuppressed' });
  }

  /** Sets it aside until a time. Shelved again it takes the new time. @returns undefined where it is out of service */
  shelve(timeMs: number, untilMs: number, by: string, why: string): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'shelved', shelf: { by, why, sinceMs: timeMs, untilMs } }, { by, why });
  }

  /** @param who - whoever took it back; left out where its time was up */
  unshelve(timeMs: number, who: { readonly by?: string; readonly why?: string }): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'unshelved' }, who);
  }

  takeOut(timeMs: number, by: string, why: string): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'out-of-service', outOfService: { by, why, sinceMs: timeMs } }, { by, why });
  }

  putBack(timeMs: number, who: { readonly by: string; readonly why?: string }): AlarmOutput | undefined {
    return this.turn(timeMs, { happens: 'in-service' }, who);
  }

  private turn(timeMs: number, what: AlarmHappening, said: { readonly by?: string; readonly why?: string } = {}): AlarmOutput | undefined {
    const from = this.state;
    const next = after(this.standing, what);
    if (next === undefined) return undefined;
    this.standing = next;
    // One that was never raised has stood since somebody set it aside.
    if (this.sinceMs === 0) this.sinceMs = timeMs;
    // A design that suppresses what a person has set aside already is no transition.
    const silent = (what.happens === 'suppressed' || what.happens === 'unsuppressed') && this.state === from;
    return silent ? undefined : { ...this.event(timeMs, what.happens, from), ...said };
  }

  private see(timeMs: number, { value, limit, side }: Seen): void {
    this.sinceMs = timeMs;
    this.value = Number.isFinite(value) ? value : null;
    this.limit = limit;
    this.side = side;
  }

  private event(timeMs: number, change: AlarmOutput['change'], from: AlarmState): AlarmOutput {
    this.changedMs = timeMs;
    return {
      kind: 'alarm',
      timeMs,
      conveyor: this.place.conveyor,
      ...(this.place.takeup === undefined ? {} : { takeup: this.place.takeup }),
      ...(this.side === null ? {} : { side: this.side }),
      ...(this.place.signal === undefined ? {} : { signal: this.place.signal }),
      alarm: this.key,
      priority: this.terms.priority,
      change,
      from,
      to: this.state,
      value: this.value,
      limit: this.limit,
      unit: this.terms.unit,
    };
  }

  save(): AlarmRecordSaved {
    const { latched, ...standing } = this.standing;
    const { sinceMs, changedMs, value, limit, side } = this;
    return { sinceMs, changedMs, value, limit, side, ...standing, ...(latched ? { latched } : {}) };
  }
}
