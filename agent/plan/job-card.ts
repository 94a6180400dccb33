import type { CautionKey } from './cautions.js';

/** A job card as data: what stands on it, in order. A screen or a sheet of paper decides how it looks. */
export interface JobCard {
  readonly title: string;
  readonly facts: readonly CardFact[];
  readonly sections: readonly CardSection[];
}

export interface CardFact {
  readonly label: string;
  readonly text: string;
}

export interface CardSection {
  readonly key: SectionKey;
  readonly heading: string;
  readonly lines: readonly CardLine[];
}

/** The sections, in the order in which they are worked through. */
export const SECTION_KEYS = [
  'cautions',
  'job',
  'lock-out',
  'found',
  'stored-energy',
  'hot-work',
  'steps',
  'restart',
  'check',
  'done',
] as const;

export type SectionKey = (typeof SECTION_KEYS)[number];

export type CardLine =
  | { readonly kind: 'caution'; readonly key: CautionKey; readonly text: string }
  | ({ readonly kind: 'fact' } & CardFact)
  /** To be ticked when done. */
  | { readonly kind: 'step'; readonly key: StepKey; readonly text: string }
  /** To be filled in by hand or by thumb; what it is in, where it is a measure. */
  | { readonly kind: 'blank'; readonly key: BlankKey; readonly label: string; readonly form: BlankForm; readonly unit?: string };

/** What a blank takes, and how it is kept. */
export type BlankForm =
  | { readonly takes: 'text'; readonly most: number }
  /** ISO 8601, UTC. */
  | { readonly takes: 'time' }
  /** A whole number from 0 up. */
  | { readonly takes: 'count' }
  /** Turns of a nut, positive tightens. */
  | { readonly takes: 'turns' }
  /** mm, whatever units it is shown in. */
  | { readonly takes: 'length' }
  | { readonly takes: 'choice'; readonly choices: readonly string[] };

export type StepKey =
  // lock-out and stored energy, in the order of 29 CFR 1910.147(d): prepare, shut down, isolate, lock and tag, relieve, verify
  | 'prepare'
  | 'shut-down'
  | 'isolate'
  | 'lock-and-tag'
  | 'verify'
  | 'release-springs'
  | 'release-springs-by-eye'
  | 'springs-under-load'
  | 'block-others'
  | 'block-carriage'
  | 'secure-chain'
  // hot work
  | 'clear-fire-load'
  | 'fire-watch'
  // the work itself
  | 'open-service'
  | 'measure'
  | 'mark-stretch'
  | 'draw-in'
  | 'take-carriers-off'
  | 'part-at-joints'
  | 'part-at-connectors'
  | 'part-with-pin'
  | 'take-out'
  | 'join'
  | 'unblock'
  | 'unblock-others'
  | 'set-springs'
  | 'set-springs-only'
  | 'turn-left'
  | 'turn-right'
  | 'lock-nuts'
  // restart
  | 'restraint-nuts-out'
  | 'tools-out'
  | 'guards-back'
  | 'people-clear'
  | 'unlock'
  | 'watch-a-round'
  // after
  | 'rock-check'
  | 'settled-check'
  | 'record';

/** Blanks; those from which service entries are written bear the names of their fields. */
export type BlankKey =
  | 'locked-by'
  | 'locked-at'
  | 'verified-by'
  | 'permit'
  | 'fire-watch-by'
  | 'found-position-left'
  | 'found-position-right'
  | 'found-spring-left'
  | 'found-spring-right'
  | 'found-note'
  | 'done-pitches'
  | 'done-carriers'
  | 'done-turns-left'
  | 'done-turns-right'
  | 'done-spring-left'
  | 'done-spring-right'
  | 'done-restraint-nuts'
  | 'done-rock'
  | 'done-lubricated'
  | 'done-noise'
  | 'done-filings'
  | 'done-settled'
  | 'done-note'
  | 'done-by'
  | 'done-at'
  | 'unlocked-by';
