import type { AlarmState, Priority } from '../../../agent/flow/alarm-key.js';
import type { AlarmEvent } from '../../../agent/store/history.js';
import type { StandingEntry } from './live-messages.js';
import { alarmId } from './standing-alarms.js';

/** Alarms that the web server raises itself: that the agent is silent, and that nobody took the page about it. */
export const OWN_ALARMS = ['agent-silent', 'page-unanswered'] as const;
type OwnAlarmKey = (typeof OWN_ALARMS)[number];

/** A transition of one: of the whole site, so without a place. */
export interface SilenceEvent extends Omit<AlarmEvent, 'conveyor' | 'takeup' | 'side' | 'signal'> {
  readonly alarm: OwnAlarmKey;
}

/** Whether an alarm is one of the web server's own; one of the same key that has a place is the agent's. */
export function isOwnAlarm({ alarm, conveyor }: { readonly alarm: string; readonly conveyor?: string }): boolean {
  return conveyor === undefined && OWN_ALARMS.some((own) => own === alarm);
}

/** An alarm of the web server: it follows the states of IEC 62682, and what is over before anybody saw it stays up until somebody has. */
export class OwnAlarm {
  state: AlarmState = 'normal';
  private sinceMs = 0;
  private value = 0;
  private limit = 0;

  /** @param past - transitions of such alarms so far, in order: it goes on from its last */
  constructor(
    private readonly alarm: OwnAlarmKey,
    private readonly priority: Priority,
    past: readonly SilenceEvent[],
  ) {
    const own = past.filter((event) => event.alarm === alarm);
    const raised = own.findLast(({ change }) => change === 'raised');
    this.state = own.at(-1)?.to ?? 'normal';
    this.sinceMs = raised?.timeMs ?? 0;
    this.value = raised?.value ?? 0;
    this.limit = raised?.limit ?? 0;
  }

  /** @returns the transition; undefined where it is up */
  raise(value: number, limit: number, atMs: number): SilenceEvent | undefined {
    if (this.state !== 'normal' && this.state !== 'returned-unacknowledged') return undefined;
    this.sinceMs = atMs;
    this.value = value;
    this.limit = limit;
    return this.become('unacknowledged', 'raised', atMs);
  }

  /** @returns the transition; undefined where it is not up */
  clear(atMs: number): SilenceEvent | undefined {
    if (this.state === 'unacknowledged') return this.become('returned-unacknowledged', 'cleared', atMs);
    return this.state === 'acknowledged' ? this.become('normal', 'cleared', atMs) : undefined;
  }

  /** @returns the transition; undefined where there is nothing to acknowledge */
  acknowledge(by: string, atMs: number): SilenceEvent | undefined {
    if (this.state === 'unacknowledged') return { ...this.become('acknowledged', 'acknowledged', atMs), by };
    if (this.state === 'returned-unacknowledged') return { ...this.become('normal', 'acknowledged', atMs), by };
    return undefined;
  }

  /** As it stands in the list; undefined while normal. */
  entry(): StandingEntry | undefined {
    const { alarm, state, priority, value, limit } = this;
    if (state === 'normal') return undefined;
    return { id: alarmId({ alarm }), alarm, state, priority, since: new Date(this.sinceMs).toISOString(), value, limit, unit: 's' };
  }

  private become(to: AlarmState, change: SilenceEvent['change'], timeMs: number): SilenceEvent {
    const { alarm, priority, value, limit, state: from } = this;
    this.state = to;
    return { id: `${alarm}-${timeMs}-${change}`, kind: 'alarm', timeMs, alarm, priority, change, from, to, value, limit, unit: 's' };
  }
}
