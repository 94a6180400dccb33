import type { ServiceKind } from '../contract/service-entry.js';

/** An object as it stands in JSON. */
export type JsonObject = Readonly<Record<string, unknown>>;

/**
 * Readings as typed columns, in the order in which they were taken. Only the first `count` rows are meant.
 * `signal` is an index into the names that the store was opened or asked with.
 */
export interface ReadingColumns {
  readonly count: number;
  readonly signal: Int32Array;
  /** Epoch ms, whole. */
  readonly timeMs: Float64Array;
  /** The raw value. NaN: the payload held no finite number, which is a fault of its signal. The sign of a zero is not kept. */
  readonly value: Float64Array;
}

/** A service entry as it is kept: its body in the contract's own form, and what lists and recovery ask for beside it. */
export interface EntryRecord {
  readonly id: string;
  /** When the work was done. */
  readonly timeMs: number;
  readonly conveyor: string;
  /** Left out where the entry is for the whole conveyor. */
  readonly takeup?: string;
  readonly kind: ServiceKind;
  /** The line of JSON as contracts §2 describes it. */
  readonly body: JsonObject;
}

/** An input that is not a reading. `timeMs` is when the agent took it, on the data's clock. */
export type JournalInput =
  | { readonly kind: 'service'; readonly timeMs: number; readonly entry: EntryRecord }
  | {
      readonly kind: 'operator';
      readonly timeMs: number;
      /** Identity of the request, so that a repeated delivery is known. */
      readonly id: string;
      readonly action: JsonObject;
    };

/** What became of an input: a second delivery of the same is harmless, another one under the same id is refused. */
export type Appended =
  | { readonly outcome: 'added'; readonly seq: number }
  | { readonly outcome: 'repeated'; readonly seq: number }
  | { readonly outcome: 'id-taken' };

/** A piece of the journal; pieces come in the order in which their contents were taken. */
export type JournalItem =
  | {
      readonly kind: 'readings';
      /** Sequence number of the last reading of the stretch. */
      readonly seq: number;
      /** `signal` indexes the names that the store was opened with; readings of signals that are no longer among them are left out. */
      readonly columns: ReadingColumns;
    }
  | (JournalInput & { readonly seq: number });

/** The pipeline's saved state and how much of the journal it covers. */
export interface Checkpoint {
  /** Everything up to this sequence number has gone into the state. */
  readonly seq: number;
  /** Tells the site that the state belongs to; whether it fits is the caller's to decide. */
  readonly fingerprint: string;
  /** JSON. */
  readonly state: string;
}

/** A checkpoint as it is written. */
export interface NewCheckpoint extends Checkpoint {
  /**
   * What of the state stands by itself, by name, as JSON. It is asked for piece by piece while the checkpoint is written, so that the whole
   * of it is at no time in memory as text. Parts that an earlier checkpoint had and this one has not are gone.
   */
  readonly parts?: Iterable<PartOfState>;
  /** Days that are over, for the shelves of the take-ups; asked for as the parts are. */
  readonly pastDays?: Iterable<PastDaysOfTakeup>;
}

/** A day that is over, as it lies in the store: numbers of its settled windows, so many to a window. */
export interface StoredDay {
  readonly date: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly numbers: Float64Array;
}

export interface PastDaysOfTakeup {
  readonly conveyor: string;
  readonly takeup: string;
  /** What lies there under this name is of something else, and goes first. */
  readonly anew: boolean;
  /** They take the place of those of the same date. */
  readonly days: readonly StoredDay[];
}

/** Reads one take-up's past days; at once, since the pipeline asks in the middle of its work. */
export interface PastDaysReader {
  /** The latest day that began before a time. */
  before(timeMs: number): StoredDay | undefined;
  /** The first day that ended after a time. */
  after(timeMs: number): StoredDay | undefined;
  /** All that ended after a time, oldest first. */
  since(timeMs: number): readonly StoredDay[];
}

/** A part of the state; undefined where it is as the checkpoint before has it. */
export type PartOfState = readonly [name: string, state: string | undefined];
