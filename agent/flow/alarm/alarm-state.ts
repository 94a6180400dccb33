import type { AlarmState, SuppressedBy } from '../alarm-key.js';

/** A person set an alarm aside for a while. */
export interface Shelf {
  readonly by: string;
  readonly why: string;
  readonly sinceMs: number;
  readonly untilMs: number;
}

/** A person took an alarm out of service. */
export interface OutOfService {
  readonly by: string;
  readonly why: string;
  readonly sinceMs: number;
}

/** What an alarm's state follows from. */
export interface AlarmStanding {
  /** Its condition is there: raised and not cleared since. */
  readonly active: boolean;
  /** Its condition has gone, and it asks to be acknowledged before it is over. */
  readonly latched: boolean;
  readonly acknowledged: boolean;
  readonly suppressedBy?: SuppressedBy;
  readonly shelf?: Shelf;
  readonly outOfService?: OutOfService;
}

/** An alarm of which nothing was ever said. */
export const AT_REST: AlarmStanding = Object.freeze({ active: false, latched: false, acknowledged: true });

/**
 * What may happen to an alarm (IEC 62682 and ISA-18.2, the state transition diagram of clause 5). Clearing of a latching alarm that
 * nobody has acknowledged leaves it as it was; acknowledging it is its reset.
 */
export type AlarmHappening =
  | { readonly happens: 'raised' }
  | { readonly happens: 'cleared'; readonly latches: boolean }
  | { readonly happens: 'acknowledged' }
  | { readonly happens: 'shelved'; readonly shelf: Shelf }
  | { readonly happens: 'unshelved' }
  | { readonly happens: 'suppressed'; readonly suppressedBy: SuppressedBy }
  | { readonly happens: 'unsuppressed' }
  | { readonly happens: 'out-of-service'; readonly outOfService: OutOfService }
  | { readonly happens: 'in-service' };

/**
 * The state of IEC 62682 / ISA-18.2. Out of service comes before shelved, and that before suppressed by design: what a person decided
 * holds until it is over, whatever the design says meanwhile.
 */
export function stateOf(alarm: AlarmStanding): AlarmState {
  if (alarm.outOfService !== undefined) return 'out-of-service';
  if (alarm.shelf !== undefined) return 'shelved';
  if (alarm.suppressedBy !== undefined) return 'suppressed-by-design';
  if (alarm.active || alarm.latched) return alarm.acknowledged ? 'acknowledged' : 'unacknowledged';
  return alarm.acknowledged ? 'normal' : 'returned-unacknowledged';
}

/**
 * What an alarm is after something happened to it. Shelved, suppressed by design or out of service it goes on being evaluated; what
 * it is when it comes back is decided by its condition: unacknowledged where it is there, normal where not.
 *
 * @returns undefined where this cannot happen to it as it is: there is nothing to acknowledge, to put back, …
 */
export function after(alarm: AlarmStanding, what: AlarmHappening): AlarmStanding | undefined {
  const state = stateOf(alarm);
  switch (what.happens) {
    case 'raised':
      return { ...alarm, active: true, latched: false, acknowledged: false };
    case 'cleared':
      return alarm.active ? { ...alarm, active: false, latched: what.latches && !alarm.acknowledged } : undefined;
    case 'acknowledged':
      return state === 'unacknowledged' || state === 'returned-unacknowledged'
        ? { ...alarm, latched: false, acknowledged: true }
        : undefined;
    case 'shelved':
      return state === 'out-of-service' ? undefined : { ...alarm, shelf: what.shelf };
    case 'unshelved':
      return state === 'shelved' ? comeBack(alarm, 'shelf') : undefined;
    case 'suppressed':
      return { ...alarm, suppressedBy: what.suppressedBy };
    case 'unsuppressed':
      return alarm.suppressedBy === undefined ? undefined : comeBack(alarm, 'suppressedBy');
    case 'out-of-service':
      return state === 'out-of-service' ? undefined : { ...without(alarm, 'shelf'), outOfService: what.outOfService };
    case 'in-service':
      return state === 'out-of-service' ? comeBack(alarm, 'outOfService') : undefined;
  }
}

function comeBack(alarm: AlarmStanding, from: 'shelf' | 'suppressedBy' | 'outOfService'): AlarmStanding {
  return { ...without(alarm, from), acknowledged: !alarm.active && !alarm.latched };
}

function without(alarm: AlarmStanding, left: 'shelf' | 'suppressedBy' | 'outOfService'): AlarmStanding {
  const { shelf, suppressedBy, outOfService, ...rest } = alarm;
  return {
    ...rest,
    ...(left === 'shelf' || shelf === undefined ? {} : { shelf }),
    ...(left === 'suppressedBy' || suppressedBy === undefined ? {} : { suppressedBy }),
    ...(left === 'outOfService' || outOfService === undefined ? {} : { outOfService }),
  };
}
