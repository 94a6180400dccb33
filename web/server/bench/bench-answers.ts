import type { BenchProgress, BenchSettings } from '../../../agent/contract/bench.js';

/** What is asked to be opened on the bench. */
export interface BenchAsked {
  readonly source:
    | { readonly kind: 'fixture'; readonly name: string }
    /** A recording that was sent in; with a mapping where it is not in our form. */
    | { readonly kind: 'upload'; readonly upload: string; readonly mapText?: string }
    | { readonly kind: 'history'; readonly fromMs: number; readonly toMs: number };
  /** YAML; left out, the site of this server, or the fixture's own. */
  readonly siteText?: string;
  /** JSON lines. */
  readonly serviceText?: string;
  readonly settings?: BenchSettings;
}

/** A session, and how far it is. */
export interface BenchSessionAnswer {
  readonly id: string;
  readonly name: string;
  readonly progress: BenchProgress;
  readonly siteText: string;
  /** It is replayed by the site file in force here, so that what is tried can be put in force. */
  readonly ofThisSite: boolean;
}

/** One of `GET /api/bench/fixtures`. */
export interface FixtureAnswer {
  readonly name: string;
  /** Its about.md. */
  readonly about: string;
}

/** `POST /api/bench/recordings` */
export interface UploadAnswer {
  readonly upload: string;
}
