import type { AlarmState } from '../../../agent/flow/alarm-key.js';
import type { AlarmEvent } from '../../../agent/store/history.js';
import type { AgentState, StandingEntry } from './live-messages.js';
import { alarmId } from './standing-alarms.js';

/** A transition of `agent-silent`: of the whole site, so without a place. */
export interface SilenceEvent extends Omit<AlarmEvent, 'conveyor' | 'takeup' | 'side' | 'signal'> {
  readonly alarm: 'agent-silent';
}

/** What it is raised at: the heartbeat is missed for so long. */
const LIMIT_S = 30;

/**
 * `agent-silent`: the one alarm that the web server raises itself, since a silent agent cannot. It follows the states of
 * IEC 62682: what returns to normal before anybody saw it stays up until somebody has.
 */
export class SilentAlarm {
  private state: AlarmState = 'normal';
  private sinceMs = 0;
  private silentForS = 0;

  /** @param past - its transitions so far, in order: it goes on from the last */
  constructor(past: readonly SilenceEvent[] = []) {
    const raised = past.findLast(({ change }) => change === 'raised');
    this.state = past.at(-1)?.to ?? 'normal';
    this.sinceMs = raised?.timeMs ?? 0;
    this.silentForS = raised?.value ?? 0;
  }

  /** @returns the transition, where there is one */
  judge(agent: AgentState, atMs: number): SilenceEvent | undefined {
    if (agent.state === 'silent' && (this.state === 'normal' || this.state === 'returned-unacknowledged')) {
      this.sinceMs = atMs;
      this.silentForS = Math.round((atMs - agent.sinceMs) / 1000);
      return this.become('unacknowledged', 'raised', atMs);
    }
    if (agent.state === 'heard') {
      if (this.state === 'unacknowledged') return this.become('returned-unacknowledged', 'cleared', atMs);
      if (this.state === 'acknowledged') return this.become('normal', 'cleared', atMs);
    }
    return undefined;
  }

  /** @returns the transition; undefined where there is nothing to acknowledge */
  acknowledge(by: string, atMs: number): SilenceEvent | undefined {
    if (this.state === 'unacknowledged') return { ...this.become('acknowledged', 'acknowledged', atMs), by };
    if (this.state === 'returned-unacknowledged') return { ...this.become('normal', 'acknowledged', atMs), by };
    return undefined;
  }

  /** As it stands in the list; undefined while normal. */
  entry(): StandingEntry | undefined {
    if (this.state === 'normal') return undefined;
    return {
      id: alarmId({ alarm: 'agent-silent' }),
      alarm: 'agent-silent',
      state: this.state,
      priority: 'high',
      since: new Date(this.sinceMs).toISOString(),
      value: this.silentForS,
      limit: LIMIT_S,
      unit: 's',
    };
  }

  private become(to: AlarmState, change: SilenceEvent['change'], timeMs: number): SilenceEvent {
    const from = this.state;
    this.state = to;
    return {
      ...{ id: `agent-silent-${timeMs}-${change}`, kind: 'alarm', timeMs, alarm: 'agent-silent', priority: 'high' },
      ...{ change, from, to, value: this.silentForS, limit: LIMIT_S, unit: 's' },
    };
  }
}
