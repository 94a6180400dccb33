import type { AlarmEvent } from './history.js';

/** A page to one person over one channel, as it waits in the outbox. */
export interface PageMessage {
  /** The same however often it is worked out: a second one changes nothing. */
  readonly id: string;
  /** The call that it belongs to. */
  readonly call: string;
  readonly person: string;
  readonly channel: 'email' | 'webhook';
  readonly address: string;
  readonly madeMs: number;
  /** What is said, as JSON; the channel knows its form. */
  readonly body: string;
}

/** What became of a message: it waits for its next try, was taken by the other side, or was given up. */
export type PageMessageState = 'waiting' | 'delivered' | 'failed';

export interface OutboxMessage extends PageMessage {
  readonly state: PageMessageState;
  readonly tries: number;
  /** When it is tried next, while it waits. */
  readonly nextMs: number;
  /** When it was delivered or given up. */
  readonly settledMs?: number;
  /** What the other side, or the network, said last. */
  readonly said?: string;
}

/** Why no page went out. */
export interface PageNote {
  readonly timeMs: number;
  readonly reason: string;
  readonly call?: string;
  readonly person?: string;
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly signal?: string;
  readonly alarm?: string;
}

/** The state of paging and how far it has read the alarm events. */
export interface PagingState {
  /** Events up to this number have been taken. */
  readonly eventNr: number;
  /** JSON. */
  readonly state: string;
}

/** What paging writes in one transaction: what it has read, what follows from it, and the pages themselves. */
export interface PagingStep extends PagingState {
  readonly messages: readonly PageMessage[];
  readonly notes: readonly PageNote[];
}

/** What paging has done since a time, for whoever shows it; the latest of it where there is very much. */
export interface PagingPast {
  /** Absent before paging began. */
  readonly state?: PagingState;
  /** In the order in which they were made. */
  readonly messages: readonly OutboxMessage[];
  /** In the order in which they were written. */
  readonly notes: readonly PageNote[];
}

/**
 * The part of the store in which pages are kept until they are delivered. A promise that is kept is durable, as everywhere in the store.
 */
export interface PageStore {
  /** The saved state; undefined before the first. */
  load(): Promise<PagingState | undefined>;

  /** Number of the latest alarm event; 0 before the first. */
  lastEventNr(): Promise<number>;

  /** Alarm events after a number, in the order in which they were written, at most some hundreds: ask again until none comes. */
  eventsAfter(eventNr: number): Promise<readonly { readonly nr: number; readonly event: AlarmEvent }[]>;

  write(step: PagingStep): Promise<void>;

  /** What waits, in the order in which it was written. */
  waiting(): Promise<readonly OutboxMessage[]>;

  /** A try failed and another is to come. */
  retry(id: string, tries: number, nextMs: number, said: string): Promise<void>;

  /** It was taken by the other side, or given up. */
  settle(id: string, state: 'delivered' | 'failed', tries: number, settledMs: number, said: string): Promise<void>;
}
