import type { AgentStatus } from '../../../agent/contract/messages.js';
import type { AgentState, SilenceReason } from './live-messages.js';

/** The agent says that it is there every 10 s; three in a row may be missed. */
const SILENT_AFTER_MS = 30_000;

interface Heard {
  readonly running: boolean;
  readonly atMs: number;
}

/**
 * Whether the agent is heard. A retained status counts from its arrival here, not from its own time: two machines'
 * clocks may differ, and one that is of a dead agent lapses by itself.
 */
export class AgentHearing {
  private readonly agents = new Map<string, Heard>();
  private brokerAway = true;

  /** @param startMs - since when anything could have been heard */
  constructor(private readonly startMs: number) {}

  heard(status: AgentStatus, atMs: number): void {
    this.agents.set(status.agent, { running: status.running, atMs });
  }

  brokerIs(connected: boolean): void {
    this.brokerAway = !connected;
  }

  /** The state at a time: the best of all agents where there are several. */
  stateAt(atMs: number): AgentState {
    const all = [...this.agents.values()];
    if (all.some(({ running, atMs: heardMs }) => running && atMs - heardMs < SILENT_AFTER_MS)) return { state: 'heard' };
    const lastMs = Math.max(this.startMs, ...all.map((one) => one.atMs));
    if (all.some(({ running }) => !running) && !all.some(({ running }) => running)) return silent(lastMs, 'ended');
    if (atMs - lastMs < SILENT_AFTER_MS) return { state: 'awaited' };
    if (this.brokerAway) return silent(lastMs, 'broker-away');
    return silent(lastMs, all.length === 0 ? 'never-heard' : 'no-heartbeat');
  }
}

function silent(sinceMs: number, why: SilenceReason): AgentState {
  return { state: 'silent', sinceMs, why };
}
