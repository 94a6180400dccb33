import type { AlarmKey } from '../alarm-key.js';
import type { Occurrence, PagedPlace } from './occurrence.js';

export type Channel = 'email' | 'webhook';

/** Why no page went out. */
export type NoPageReason =
  | 'not-configured' // the site names no ladders, or neither mail server nor webhook
  | 'no-ladder' // alarms of this priority page nobody
  | 'about-a-page' // that a page was not answered is shown, and pages nobody
  | 'shelved'
  | 'suppressed-by-design'
  | 'out-of-service'
  | 'acknowledged' // before the page was due
  | 'over-before-page' // back to normal before the page was due
  | 'joined' // related to a page that has just gone out, which is told of it with its next step
  | 'already-paged' // this person knows of it, or it only came back while its page is open
  | 'earlier-page-on-its-way' // what was sent before has not left the outbox
  | 'nobody-on-call' // the step names nobody at this time
  | 'no-channel'; // nothing that is set up reaches this person

/** A page to one person. */
export interface PageOut {
  readonly kind: 'page';
  /** The same however often it is worked out. */
  readonly id: string;
  readonly call: string;
  readonly person: string;
  readonly channels: readonly Channel[];
  /** 1 for the first time that this call pages anybody, 2 for the next step or repetition … */
  readonly round: number;
  /** The person was told before. */
  readonly again: boolean;
  readonly madeMs: number;
  /** Since when the call stands. */
  readonly openedMs: number;
  /** What is not acknowledged, most pressing first; at least one. */
  readonly alarms: readonly Occurrence[];
  /** What happens if nobody acknowledges; absent after the last step. */
  readonly next?: { readonly atMs: number; readonly to: string };
}

/** No page, and why. */
export interface NoPageOut {
  readonly kind: 'no-page';
  readonly reason: NoPageReason;
  readonly timeMs: number;
  /** The alarm it is about, where it is about one. */
  readonly place?: PagedPlace;
  readonly call?: string;
  readonly person?: string;
}

/** Nobody took a page, or somebody now has. */
export interface UnansweredOut {
  readonly kind: 'unanswered';
  readonly up: boolean;
  readonly call: string;
  readonly timeMs: number;
  readonly place: PagedPlace;
  /** How long nobody has answered, ms, and how long was allowed. */
  readonly openMs: number;
  readonly allowedMs: number;
}

export type PageOutput = PageOut | NoPageOut | UnansweredOut;

/** The alarm that says so: it pages nobody, or a page without an answer would breed pages. */
export const UNANSWERED_ALARM: AlarmKey = 'page-unanswered';
