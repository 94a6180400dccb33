import type { AlarmMessage, TakeupNow } from '../../../agent/contract/messages.js';
import { takeupKey } from './takeup-key.js';
import type { StandingEntry } from './live-messages.js';

interface Listed {
  readonly timeMs: number;
  readonly entries: ReadonlyMap<string, StandingEntry>;
}

/**
 * Which alarms stand, from the two ways in which the agent says so: the list in each take-up's `now`, which is whole but
 * at most twice a second, and the message of each single alarm, which comes at once and also tells of those that belong
 * to no take-up. Whichever is of the later time of the data is right.
 */
export class StandingAlarms {
  private readonly lists = new Map<string, Listed>();
  private readonly messages = new Map<string, AlarmMessage>();

  /** @returns whether anything stands differently now */
  takeNow(now: TakeupNow): boolean {
    const key = takeupKey(now.conveyor, now.takeup);
    const before = this.lists.get(key);
    const place = { conveyor: now.conveyor, takeup: now.takeup };
    const listed = now.alarms.map((alarm) => ({ id: alarmId({ ...place, ...alarm }), ...alarm, ...place }));
    const entries = new Map(listed.map((entry) => [entry.id, entry]));
    this.lists.set(key, { timeMs: Date.parse(now.time), entries });
    return before === undefined ? entries.size > 0 : !sameEntries(before.entries, entries);
  }

  /** @returns whether anything stands differently now */
  takeMessage(message: AlarmMessage): boolean {
    const id = alarmId(message);
    const before = this.messages.get(id);
    this.messages.set(id, message);
    return before === undefined || JSON.stringify(before) !== JSON.stringify(message);
  }

  /** Every alarm that is not normal, in no order that means anything. */
  list(): readonly StandingEntry[] {
    const standing = new Map<string, StandingEntry>();
    for (const { entries } of this.lists.values()) for (const [id, entry] of entries) standing.set(id, entry);
    for (const [id, message] of this.messages) if (this.isLatest(message)) standing.set(id, entryOf(message));
    return [...standing.values()].filter(({ state }) => state !== 'normal');
  }

  private isLatest(message: AlarmMessage): boolean {
    if (message.takeup === undefined) return true;
    const list = this.lists.get(takeupKey(message.conveyor, message.takeup));
    return list === undefined || Date.parse(message.time) >= list.timeMs;
  }
}

/** Which alarm, and of what. */
type AlarmPlace = Pick<StandingEntry, 'conveyor' | 'takeup' | 'signal'> & { readonly alarm: string };

/** What makes an alarm the same one: where it is and its key, and the signal where it is of one. Which side it was seen on may change. */
export function alarmId(alarm: AlarmPlace): string {
  return [alarm.conveyor ?? '', alarm.takeup ?? '', alarm.alarm, alarm.signal ?? ''].join(' ');
}

function entryOf(message: AlarmMessage): StandingEntry {
  const { alarm, state, priority, since, value, limit, unit, conveyor, takeup, side, signal } = message;
  const { shelved, outOfService, suppressedBy, active } = message;
  return {
    ...{ id: alarmId(message), alarm, state, priority, since, value, limit, unit, conveyor },
    ...(takeup === undefined ? {} : { takeup }),
    ...(side === undefined ? {} : { side }),
    ...(signal === undefined ? {} : { signal }),
    ...(shelved === undefined ? {} : { shelved }),
    ...(outOfService === undefined ? {} : { outOfService }),
    ...(suppressedBy === undefined ? {} : { suppressedBy }),
    ...(active === undefined ? {} : { active }),
  };
}

function sameEntries(a: ReadonlyMap<string, StandingEntry>, b: ReadonlyMap<string, StandingEntry>): boolean {
  return a.size === b.size && [...a].every(([id, entry]) => JSON.stringify(entry) === JSON.stringify(b.get(id)));
}
