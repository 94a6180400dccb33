import type { AgentState } from './live-messages.js';
import { OwnAlarm, type SilenceEvent } from './own-alarm.js';

/** What it is raised at: the heartbeat is missed for so long. */
const LIMIT_S = 30;

/** `agent-silent`: the web server raises it itself, since a silent agent cannot. */
export class SilentAlarm extends OwnAlarm {
  /** @param past - transitions so far, in order: it goes on from its last */
  constructor(past: readonly SilenceEvent[] = []) {
    super('agent-silent', 'high', past);
  }

  /** @returns the transition, where there is one */
  judge(agent: AgentState, atMs: number): SilenceEvent | undefined {
    if (agent.state === 'silent') return this.raise(Math.round((atMs - agent.sinceMs) / 1000), LIMIT_S, atMs);
    return agent.state === 'heard' ? this.clear(atMs) : undefined;
  }
}
