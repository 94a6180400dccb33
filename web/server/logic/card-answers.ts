import type { BlankValue } from '../../../agent/plan/card-blanks.js';
import type { BlankKey, JobCard, StepKey } from '../../../agent/plan/job-card.js';
import type { UnitSystem } from '../../../agent/units/display.js';
import type { BasisAnswer } from './plan-answers.js';
import type { VerificationAnswer } from './verification-answers.js';

/** What a card is for. */
export type CardJob =
  { readonly kind: 'removal'; readonly pitches: number } | { readonly kind: 'nuts'; readonly to: 'tension' | 'balance' };

/** A blank as it was filled in last. */
export interface FilledBlank {
  readonly value: BlankValue;
  readonly by: string;
  readonly at: string;
  /** Of the card, when this was written. */
  readonly version: number;
}

export interface TickedStep {
  readonly done: boolean;
  readonly by: string;
  readonly at: string;
  readonly version: number;
}

export type CardState = 'open' | 'closed' | 'dropped';

/** What the card has written, or tried to write, into the service log. */
export interface CardEntryAnswer {
  /** The entry's id in the service log: the same however often the card is closed. */
  readonly id: string;
  readonly entry: Readonly<Record<string, unknown>>;
  /** `in-doubt`: the agent did not answer; closing again finds out and does no harm. */
  readonly state: 'recorded' | 'refused' | 'in-doubt';
  /** Why it was refused. */
  readonly why?: string;
}

/** One of `GET /api/cards`: what a list shows. */
export interface CardHead {
  /** Counts up from 1: what people call it by. */
  readonly number: number;
  readonly conveyor: string;
  readonly takeup: string;
  readonly job: CardJob;
  readonly title: string;
  readonly state: CardState;
  readonly version: number;
  readonly madeBy: string;
  readonly madeAt: string;
  readonly begun?: { readonly by: string; readonly at: string };
  readonly ended?: { readonly by: string; readonly at: string; readonly why?: string };
  /** Steps ticked of those there are. */
  readonly steps: { readonly done: number; readonly all: number };
  /** What the carriage says afterwards; absent before the card is closed. */
  readonly verification?: VerificationAnswer;
}

/** `GET /api/cards/:number`, and the answer to every change of a card. */
export interface CardAnswer extends CardHead {
  /** The sheet as it was drawn up, its texts in `units`. */
  readonly card: JobCard;
  readonly units: UnitSystem;
  readonly basis: BasisAnswer;
  readonly ticks: Readonly<Partial<Record<StepKey, TickedStep>>>;
  readonly blanks: Readonly<Partial<Record<BlankKey, FilledBlank>>>;
  readonly entries: readonly CardEntryAnswer[];
}

/** `POST /api/cards`. The query of the plan stands in `wish`, so that the card is of the very plan that was looked at. */
export interface CardRequest {
  /** Made up by the screen: the same one again makes no second card. */
  readonly request: string;
  readonly conveyor: string;
  readonly takeup: string;
  readonly job: CardJob;
  readonly wish?: Readonly<Record<string, string>>;
}

/**
 * `PATCH /api/cards/:number`. The last write of each blank and step holds; but a blank that somebody else has written since `version`
 * is not written over unseen: 409, and nothing of this request is kept.
 */
export interface CardChange {
  /** Of the card, as the screen last saw it. */
  readonly version: number;
  /** null empties a blank. */
  readonly blanks?: Readonly<Partial<Record<BlankKey, BlankValue | null>>>;
  readonly ticks?: Readonly<Partial<Record<StepKey, boolean>>>;
}

/** What a card lacks to be closed. */
export interface MissingOnCard {
  readonly blank?: BlankKey;
  readonly step?: StepKey;
  readonly sentence: string;
}

/** `POST /api/cards/:number/close`: what became of it. Where it is not closed the card stays open, and says what is missing. */
export interface CloseAnswer {
  readonly closed: boolean;
  /** Blanks to fill and steps to tick first, and what is wrong with those that cannot be so. */
  readonly missing: readonly MissingOnCard[];
  /** What the agent refused, or did not answer to. */
  readonly refused: readonly string[];
  readonly card: CardAnswer;
}
