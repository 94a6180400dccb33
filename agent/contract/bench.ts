import type { AlarmKey } from '../flow/alarm-key.js';
import type { AlarmOutput, FindingKey, RejectReason } from '../flow/output.js';
import type { TakeupNow } from './messages.js';
import type { ReplaySummary } from './replay-files.js';

/** What crosses the border between the web server, its replaying worker and the bench page. Lengths mm, forces N, times epoch ms. */

/** Settings of the filters that a bench may change; what is left out is as the agent has it. */
export interface BenchSettings {
  /** Hampel's k: a reading further than k · 1.4826 · MAD from the median of its window is a spike. */
  readonly spikeK?: number;
  /** Time constant of the smoothing, s. */
  readonly smoothingS?: number;
  /** Length of a settled window, min. */
  readonly windowMin?: number;
  /** …and the readings that it needs. */
  readonly fewestReadings?: number;
  /** A window whose halves differ by so much is not settled, mm. */
  readonly jumpMm?: number;
}

/** One way of looking at a recording: a site file, and settings of the filters. */
export interface BenchVariant {
  /** YAML; left out, the site of the recording as it is. */
  readonly siteText?: string;
  readonly settings: BenchSettings;
}

/** The setting as it is, and the one that is tried beside it. */
export type RunName = 'a' | 'b';

export interface BenchProgress {
  readonly state: 'reading' | 'running' | 'done' | 'failed';
  /** Which variant is being run. */
  readonly run: RunName;
  /** 0 … 1 of reading, or of running this variant. */
  readonly share: number;
  /** How far the recording's own clock has come; null before the first reading. */
  readonly timeMs: number | null;
  /** Why it failed, in a sentence. */
  readonly words?: string;
}

/** What is drawn over time, for one take-up. */
export const TRACE_NAMES = [
  'rawLeft',
  'rawRight',
  'freeLeft',
  'freeRight',
  'smoothLeft',
  'smoothRight',
  'settled',
  'springLeft',
  'springRight',
  'elongation',
] as const;
export type TraceName = (typeof TRACE_NAMES)[number];

/** A trace in columns of equal width: the least and the most of each, null where there was no value. */
export interface TraceColumns {
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
}

/** Traces of one take-up on one time axis; column i begins at `fromMs + i · stepMs`. */
export interface BenchTraces {
  readonly fromMs: number;
  readonly stepMs: number;
  /** Every reading of the span was looked at; otherwise the columns are those of the whole recording. */
  readonly fine: boolean;
  readonly traces: Readonly<Record<TraceName, TraceColumns>>;
}

/** A condition that came or went. */
export interface BenchAlarm extends Omit<AlarmOutput, 'kind' | 'change' | 'from' | 'to' | 'by' | 'why'> {
  readonly change: 'raised' | 'cleared';
}

export interface BenchFinding {
  readonly timeMs: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly conveyor: string;
  readonly takeup: string;
  readonly finding: FindingKey;
  readonly moveMm: number | null;
  readonly text: string;
  readonly state?: 'explained' | 'rejected';
}

/** A reading that was not used, and why. `line` where the file's own row was at fault, else the signal and its time. */
export interface BenchReject {
  readonly reason: RejectReason;
  readonly line?: number;
  readonly signal?: string;
  readonly timeMs?: number;
}

/** A day of one take-up; null where not known. */
export interface BenchDay {
  readonly date: string;
  readonly conveyor: string;
  readonly takeup: string;
  readonly positionMm: number | null;
  readonly elongationPct: number | null;
  readonly flag: 'value' | 'provisional' | 'bound';
}

/** What one variant found. */
export interface BenchResult {
  readonly firstMs: number;
  readonly lastMs: number;
  readonly timezone: string;
  readonly takeups: readonly { readonly conveyor: string; readonly takeup: string; readonly location: string; readonly strokeMm: number }[];
  readonly summary: ReplaySummary;
  readonly alarms: readonly BenchAlarm[];
  readonly findings: readonly BenchFinding[];
  readonly days: readonly BenchDay[];
  readonly rejected: Readonly<Record<RejectReason, number>>;
  /** The first so many of them. */
  readonly rejects: readonly BenchReject[];
  /** Alarms and findings beyond so many are counted and not listed. */
  readonly leftOut: number;
}

/** How an alarm or a finding of variant b differs from a. */
export interface EventDifference {
  readonly what: 'alarm' | 'finding';
  readonly key: AlarmKey | FindingKey;
  readonly conveyor: string;
  readonly takeup?: string;
  readonly signal?: string;
  readonly change: 'gained' | 'lost' | 'earlier' | 'later';
  readonly aMs: number | null;
  readonly bMs: number | null;
}

export interface TakeupDifference {
  readonly conveyor: string;
  readonly takeup: string;
  /** At the end of the recording. */
  readonly elongationPct: readonly [number | null, number | null];
  readonly positionMm: readonly [number | null, number | null];
  /** The largest difference of a day's elongation, points of per cent, and its date; null where no day has both. */
  readonly largestOfDay: { readonly date: string; readonly pct: number } | null;
  readonly strokeOut: readonly [string | null, string | null];
  readonly springSlack: readonly [string | null, string | null];
  readonly wearLimit: readonly [string | null, string | null];
}

/** What was met in a recording in somebody else's form beside its readings. */
export interface ForeignNotes {
  /** Rows with a local time that comes twice as daylight saving ends; taken by their order. */
  readonly ambiguous: number;
  /** Rows with a local time that the clock skips. */
  readonly skipped: number;
  /** Readings that came after a later one, and were sorted. */
  readonly outOfOrder: number;
  /** Fields that were empty or said that there was no reading. */
  readonly missing: number;
}

/** How the beginning of a recording in somebody else's form reads by a mapping. */
export interface ForeignPreview {
  /** The first lines as they stand. */
  readonly lines: readonly string[];
  /** The signals of the site that a mapping may name. */
  readonly signals: readonly string[];
  /** The first readings; `value` null where there was no number. */
  readonly readings: readonly { readonly timeMs: number; readonly signal: string; readonly value: number | null }[];
  /** What became of the beginning; absent where no mapping was given, or it cannot be used. */
  readonly read?: {
    readonly rows: number;
    readonly readings: number;
    readonly rejected: Readonly<Partial<Record<RejectReason, number>>>;
    readonly notes: ForeignNotes;
  };
  /** Why the mapping cannot be used. */
  readonly words?: string;
}

/** What changed from variant a to variant b. */
export interface BenchDifferences {
  readonly same: number;
  readonly events: readonly EventDifference[];
  readonly takeups: readonly TakeupDifference[];
  readonly rejected: readonly { readonly reason: RejectReason; readonly a: number; readonly b: number }[];
}

/** Everything as it stood at an instant of the recording. */
export interface BenchMoment {
  readonly timeMs: number;
  readonly takeups: readonly TakeupNow[];
}
