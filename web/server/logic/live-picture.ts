import type { AgentStatus, AlarmMessage, TakeupNow } from '../../../agent/contract/messages.js';
import { AgentHearing } from './agent-hearing.js';
import type { LinkState, PictureMessage, StandingEntry } from './live-messages.js';
import { OwnAlarm, type SilenceEvent } from './own-alarm.js';
import { SilentAlarm } from './silent-alarm.js';
import { StandingAlarms } from './standing-alarms.js';
import { takeupKey } from './takeup-key.js';

/** What the web server hears, and when. */
export type LiveInput =
  | { readonly kind: 'now'; readonly message: TakeupNow }
  | { readonly kind: 'alarm'; readonly message: AlarmMessage }
  | { readonly kind: 'status'; readonly message: AgentStatus; readonly atMs: number }
  | { readonly kind: 'broker'; readonly connected: boolean; readonly atMs: number }
  | { readonly kind: 'own-acknowledged'; readonly alarm: string; readonly by: string; readonly atMs: number }
  /** Nobody took the page about the silent agent for so long; undefined: somebody now has. */
  | { readonly kind: 'silence-unanswered'; readonly open?: { readonly forS: number; readonly allowedS: number }; readonly atMs: number }
  | { readonly kind: 'tick'; readonly atMs: number };

/** Which parts of the picture an input changed. */
export interface Changed {
  /** Key of the take-up. */
  readonly takeup?: string;
  readonly standing: boolean;
  readonly link: boolean;
  /** An alarm of the web server's own has changed: to be kept. */
  readonly silence?: SilenceEvent;
}

const NOTHING: Changed = { standing: false, link: false };

/**
 * The present: every message merged into the latest value per take-up, the standing alarms, and whether the agent is
 * heard. Time is handed in.
 */
export class LivePicture {
  private readonly takeups = new Map<string, TakeupNow>();
  private readonly standing = new StandingAlarms();
  private readonly hearing: AgentHearing;
  private readonly silence: SilentAlarm;
  private readonly unanswered: OwnAlarm;
  private broker: LinkState['broker'];
  private link: LinkState;

  /**
   * @param known - keys of the take-ups of the site; what is told of others is of another site file and is left out
   * @param startMs - since when anything could have been heard
   * @param silences - what the web server's own alarms have been through, in order
   */
  constructor(
    private readonly known: ReadonlySet<string>,
    startMs: number,
    silences: readonly SilenceEvent[] = [],
  ) {
    this.silence = new SilentAlarm(silences);
    this.unanswered = new OwnAlarm('page-unanswered', 'urgent', silences);
    this.hearing = new AgentHearing(startMs);
    this.broker = { connected: false, sinceMs: startMs };
    this.link = { broker: this.broker, agent: this.hearing.stateAt(startMs) };
  }

  /** Takes in what was heard and says what it changed. */
  push(input: LiveInput): Changed {
    switch (input.kind) {
      case 'now':
        return this.takeNow(input.message);
      case 'alarm':
        return { ...NOTHING, standing: this.standing.takeMessage(input.message) };
      case 'status':
        this.hearing.heard(input.message, input.atMs);
        return this.judge(input.atMs);
      case 'broker':
        this.hearing.brokerIs(input.connected);
        if (this.broker.connected !== input.connected) this.broker = { connected: input.connected, sinceMs: input.atMs };
        return this.judge(input.atMs);
      case 'own-acknowledged':
        return changedBy((input.alarm === 'agent-silent' ? this.silence : this.unanswered).acknowledge(input.by, input.atMs));
      case 'silence-unanswered':
        return changedBy(this.hearUnanswered(input));
      case 'tick':
        return this.judge(input.atMs);
    }
  }

  /** The latest of one take-up; undefined before the first. */
  takeup(key: string): TakeupNow | undefined {
    return this.takeups.get(key);
  }

  standingAlarms(): readonly StandingEntry[] {
    const own = [this.silence.entry(), this.unanswered.entry()].filter((entry) => entry !== undefined);
    return [...own, ...this.standing.list()];
  }

  linkState(): LinkState {
    return this.link;
  }

  /** Everything, for a screen that has nothing. */
  whole(atMs: number): PictureMessage {
    return { atMs, link: this.link, takeups: [...this.takeups.values()], standing: this.standingAlarms() };
  }

  private takeNow(message: TakeupNow): Changed {
    const key = takeupKey(message.conveyor, message.takeup);
    if (!this.known.has(key)) return NOTHING;
    this.takeups.set(key, message);
    return { takeup: key, standing: this.standing.takeNow(message), link: false };
  }

  private hearUnanswered({ open, atMs }: Extract<LiveInput, { kind: 'silence-unanswered' }>): SilenceEvent | undefined {
    return open === undefined ? this.unanswered.clear(atMs) : this.unanswered.raise(open.forS, open.allowedS, atMs);
  }

  private judge(atMs: number): Changed {
    const before = this.link;
    this.link = { broker: this.broker, agent: this.hearing.stateAt(atMs) };
    return { ...changedBy(this.silence.judge(this.link.agent, atMs)), link: JSON.stringify(before) !== JSON.stringify(this.link) };
  }
}

function changedBy(silence: SilenceEvent | undefined): Changed {
  return silence === undefined ? NOTHING : { ...NOTHING, standing: true, silence };
}
