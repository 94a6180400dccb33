import type { AgentState, StandingEntry } from './live-messages.js';
import { alarmId } from './standing-alarms.js';

/**
 * `agent-silent`: the one alarm that the web server raises itself, since a silent agent cannot. It follows the states of
 * IEC 62682: what returns to normal before anybody saw it stays up until somebody has.
 */
export class SilentAlarm {
  private state: 'normal' | 'unacknowledged' | 'acknowledged' | 'returned-unacknowledged' = 'normal';
  private sinceMs = 0;
  private silentForS = 0;

  /** @returns whether the alarm changed */
  judge(agent: AgentState, atMs: number): boolean {
    const before = this.state;
    if (agent.state === 'silent') {
      if (before === 'normal' || before === 'returned-unacknowledged') {
        this.state = 'unacknowledged';
        this.sinceMs = atMs;
        this.silentForS = Math.round((atMs - agent.sinceMs) / 1000);
      }
    } else if (agent.state === 'heard') {
      if (before === 'unacknowledged') this.state = 'returned-unacknowledged';
      if (before === 'acknowledged') this.state = 'normal';
    }
    return this.state !== before;
  }

  /** @returns whether the alarm changed */
  acknowledge(): boolean {
    const before = this.state;
    if (before === 'unacknowledged') this.state = 'acknowledged';
    if (before === 'returned-unacknowledged') this.state = 'normal';
    return this.state !== before;
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
      limit: 30,
      unit: 's',
    };
  }
}
