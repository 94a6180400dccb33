import type { StandingAlarm, TakeupNow } from '../../../agent/contract/messages.js';

/** What the server pushes to a screen, and the screen's own picture is made of. Times are epoch ms on the server's clock. */

/** Why nothing new is known of any take-up. */
export type SilenceReason = 'ended' | 'no-heartbeat' | 'never-heard' | 'broker-away';

/** The agent as the web server hears it. `awaited`: not heard of yet, and not yet for too long. */
export type AgentState =
  | { readonly state: 'awaited' }
  | { readonly state: 'heard' }
  | { readonly state: 'silent'; readonly sinceMs: number; readonly why: SilenceReason };

/** The way from the agent to the web server. */
export interface LinkState {
  readonly broker: { readonly connected: boolean; readonly sinceMs: number };
  readonly agent: AgentState;
}

/** A standing alarm and where it stands. Without a take-up it is of the conveyor, without a conveyor of the whole site. */
export interface StandingEntry extends StandingAlarm {
  /** The same for as long as it is the same alarm. */
  readonly id: string;
  readonly conveyor?: string;
  readonly takeup?: string;
}

/** The whole picture: what a screen starts from, and starts anew from after every break. */
export interface PictureMessage {
  readonly atMs: number;
  readonly link: LinkState;
  readonly takeups: readonly TakeupNow[];
  readonly standing: readonly StandingEntry[];
}

/** What has changed since the last message to this screen; the latest value of each, however many there were. */
export interface ChangesMessage {
  readonly atMs: number;
  readonly link?: LinkState;
  readonly takeups?: readonly TakeupNow[];
  readonly standing?: readonly StandingEntry[];
}

/** Events of the live connection from the server; a screen says of each `changes` that it is taken, so that the next may follow. */
export interface LiveEvents {
  picture: (picture: PictureMessage) => void;
  changes: (changes: ChangesMessage) => void;
  /** Findings or the service log of a conveyor have changed: a screen that shows them asks again. */
  work: (told: { readonly conveyor: string }) => void;
}

/** Events from a screen. */
export interface ScreenEvents {
  taken: () => void;
}
