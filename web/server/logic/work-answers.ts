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
