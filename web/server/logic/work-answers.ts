import type { FindingOutput } from '../../../agent/flow/output.js';

/** One of `GET /api/takeups/…/findings`, latest known first. */
export interface FindingAnswer extends Omit<FindingOutput, 'state' | 'by'> {
  readonly state: 'open' | 'explained' | 'rejected';
  /** Who confirmed or rejected it, where a person did. */
  readonly by?: string;
}

/** One of `GET /api/takeups/…/entries`, latest work first. */
export interface EntryAnswer {
  readonly id: string;
  /** When the work was done, as corrected. */
  readonly timeMs: number;
  /** When the agent took it. */
  readonly takenMs: number;
  readonly conveyor: string;
  readonly takeup?: string;
  readonly by?: string;
  /** The entry in the contract's own form: as corrected, or as it was where it is struck out. */
  readonly entry: Readonly<Record<string, unknown>>;
  readonly state?: 'corrected' | 'withdrawn';
  /** Who corrected it or struck it out last. */
  readonly changedBy?: string;
  /** How it read first and after each correction, earliest first; absent where nobody corrected it. */
  readonly versions?: readonly EntryVersion[];
  /** What the carriage says of chain that was taken out; absent for every other entry. */
  readonly check?: EntryCheck;
}

/** An entry as it read from some correction on. */
export interface EntryVersion {
  readonly entry: Readonly<Record<string, unknown>>;
  /** When it was written so, as whoever wrote it says. */
  readonly writtenMs: number;
  readonly by?: string;
  readonly withdrawn?: true;
}

/** An entry about chain taken out, held against what the carriage did. */
export interface EntryCheck {
  readonly verdict: 'agrees' | 'count-differs' | 'cannot-say' | 'not-yet';
  readonly sentence: string;
}

/** One of `GET /api/services/open`. */
export interface OpenServiceAnswer {
  readonly conveyor: string;
  readonly takeup: string;
  /** Of the entry that opened it. */
  readonly id: string;
  readonly since: string;
  readonly by?: string;
  /** The job card that opened it; closing that closes it too. */
  readonly card?: number;
}

/** The body of `POST /api/services/close`. */
export interface CloseServiceRequest {
  readonly request: string;
  readonly conveyor: string;
  readonly takeup: string;
}

/** The body of `POST /api/entries/correct`: fields in the contract's own form, `at` for its time, null takes one away. */
export interface CorrectionRequest {
  readonly request: string;
  /** Of the entry that is corrected. */
  readonly entry: string;
  readonly changes?: Readonly<Record<string, unknown>>;
  /** Strikes it out. */
  readonly withdraw?: true;
}

/** The body of `POST /api/entries`. */
export interface EntryRequest {
  /** Made up by the screen for each thing that a person does: the same one again is the same thing. */
  readonly request: string;
  readonly entry: Readonly<Record<string, unknown>>;
}

/** The body of `POST /api/findings/reject` and `…/confirm`. */
export interface FindingRequest {
  readonly request: string;
  readonly conveyor: string;
  readonly takeup: string;
  readonly finding: string;
}
