import type { BenchProgress, BenchSettings, BenchVariant, RunName } from './bench.js';

/** Where the readings of a session come from. */
export type BenchSource =
  | { readonly kind: 'file'; readonly path: string; readonly mapText?: string }
  /** A folder with site, recording and entries. */
  | { readonly kind: 'case'; readonly folder: string }
  /** They are handed over by `feed`, in the order in which they were taken. */
  | { readonly kind: 'fed' };

export interface BenchOpening {
  readonly source: BenchSource;
  /** A folder of its own for what does not fit into memory; whoever gave it removes it. */
  readonly folder: string;
  /** YAML of the site; not needed for a case, which brings its own. */
  readonly siteText?: string;
  /** Service entries as JSON lines; a case brings its own. */
  readonly serviceText?: string;
  readonly settings: BenchSettings;
}

/** What the web server asks of its replaying worker. Every question has its answer, in order of asking. */
export type BenchQuestion =
  | { readonly ask: 'open'; readonly opening: BenchOpening }
  /** `signal` indexes the names that `open` answered with. */
  | {
      readonly ask: 'feed';
      readonly columns: {
        readonly count: number;
        readonly timeMs: Float64Array;
        readonly signal: Int32Array;
        readonly value: Float64Array;
      };
    }
  | { readonly ask: 'fed' }
  | { readonly ask: 'second'; readonly variant: BenchVariant }
  | { readonly ask: 'result'; readonly run: RunName }
  | {
      readonly ask: 'traces';
      readonly run: RunName;
      readonly conveyor: string;
      readonly takeup: string;
      readonly fromMs: number;
      readonly toMs: number;
      readonly points: number;
    }
  | { readonly ask: 'moment'; readonly run: RunName; readonly timeMs: number }
  | { readonly ask: 'differences' }
  | {
      readonly ask: 'keep';
      readonly name: string;
      readonly teaches?: string;
      readonly fromMs: number;
      readonly toMs: number;
      /** The folder of fixtures. */
      readonly into: string;
    }
  /** Needs no session. */
  | { readonly ask: 'preview'; readonly path: string; readonly siteText: string; readonly mapText?: string; readonly folder: string }
  /** Ends what is going on; the worker ends with it, and gives no answer. */
  | { readonly ask: 'close' };

/** What `open` answers. */
export interface BenchOpened {
  readonly signals: readonly string[];
  readonly siteText: string;
}

/** What `keep` answers: where it stands, and its files as texts. */
export interface BenchKept {
  readonly folder: string;
  readonly files: readonly { readonly name: string; readonly text: string }[];
}

/** What the worker says: answers, and how far it is. */
export type BenchWords =
  | { readonly say: 'answer'; readonly nr: number; readonly answer: unknown }
  /** Something a person can do something about. */
  | { readonly say: 'refusal'; readonly nr: number; readonly words: string }
  | { readonly say: 'progress'; readonly progress: BenchProgress };
