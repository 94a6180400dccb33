/** What a stretch of raw readings is kept for. */
export type RecordedKind = 'alarm' | 'finding' | 'entry';

/** A stretch whose raw readings are kept for good, because something happened in it. */
export interface Recorded {
  readonly kind: RecordedKind;
  /** Of the alarm event, the finding or the service entry. */
  readonly id: string;
  /** The alarm's key, the finding's, or the kind of the entry. */
  readonly what: string;
  /** When it happened: rose, became known, was done. */
  readonly timeMs: number;
  readonly conveyor: string;
  /** Left out where it is for the whole conveyor. */
  readonly takeup?: string;
  /** The stretch that is kept. */
  readonly fromMs: number;
  readonly toMs: number;
}

export interface RecordedFilter {
  readonly conveyor?: string;
  readonly takeup?: string;
  /** Happened from this time on. */
  readonly fromMs?: number;
  /** Happened before this time. */
  readonly toMs?: number;
  /** How many, at least 1. */
  readonly limit: number;
}
