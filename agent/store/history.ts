import type { AlarmKey, Priority } from '../flow/alarm-key.js';
import type {
  AlarmOutput,
  FindingKey,
  FindingOutput,
  MinuteOutput,
  RunningOutput,
  SettledDayOutput,
  SpringSettingOutput,
  TemperatureOutput,
} from '../flow/output.js';
import type { EntryRecord, NewCheckpoint } from './journal.js';

/** A transition of an alarm, with the identity that makes a repeated one harmless. */
export interface AlarmEvent extends AlarmOutput {
  readonly id: string;
}

/** What is written in one transaction. */
export interface OutputBatch {
  readonly events?: readonly AlarmEvent[];
  readonly days?: readonly SettledDayOutput[];
  readonly minutes?: readonly MinuteOutput[];
  readonly temperatures?: readonly TemperatureOutput[];
  /** Starts and stops. */
  readonly runs?: readonly RunningOutput[];
  /** How springs are followed from a time on. */
  readonly springs?: readonly SpringSettingOutput[];
  readonly findings?: readonly FindingOutput[];
  readonly checkpoint?: NewCheckpoint;
}

/** Place in the list of alarm events. */
export interface AlarmCursor {
  readonly timeMs: number;
  readonly nr: number;
}

/** Which alarm events are asked for; what is left out does not narrow. */
export interface AlarmFilter {
  /** From this time on. */
  readonly fromMs?: number;
  /** Before this time. */
  readonly toMs?: number;
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly alarms?: readonly AlarmKey[];
  readonly priorities?: readonly Priority[];
  readonly changes?: readonly AlarmOutput['change'][];
  /** Latest first, as a list shows them, where left out; earliest first for whoever goes through them in the order they happened. */
  readonly order?: 'latest-first' | 'earliest-first';
  /** Goes on behind the last event of a page that is latest first. */
  readonly before?: AlarmCursor;
  /** Goes on behind the last event of a page that is earliest first. */
  readonly after?: AlarmCursor;
  /** Events on a page, at least 1. */
  readonly limit: number;
}

export interface AlarmPage {
  /** In the order asked for. */
  readonly events: readonly AlarmEvent[];
  /** How many events the filter lets through on all pages. */
  readonly total: number;
  /** Where the next page begins; absent on the last. */
  readonly next?: AlarmCursor;
}

/** As much of an alarm event as figures of many need. */
export type AlarmTurn = Pick<AlarmEvent, 'timeMs' | 'conveyor' | 'takeup' | 'signal' | 'alarm' | 'priority' | 'change' | 'from' | 'to'>;

export interface AlarmTurnPage {
  /** Latest first. */
  readonly turns: readonly AlarmTurn[];
  /** Where the next page begins; absent on the last. */
  readonly next?: AlarmCursor;
}

export interface FindingFilter {
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly findings?: readonly FindingKey[];
  /** Known from this time on. */
  readonly fromMs?: number;
  /** Known before this time. */
  readonly toMs?: number;
}

/** A stretch of a take-up's history in at most `maxPoints` points. */
export interface MinuteQuery {
  readonly conveyor: string;
  readonly takeup: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** At least 2. */
  readonly maxPoints: number;
  /** Data further apart than this are not joined; default a minute. Signals that are read less often need more. */
  readonly gapMs?: number;
}

/** The minutes that fall into one bucket. Null where not known. */
export interface HistoryPoint {
  /** Start of the bucket. */
  readonly timeMs: number;
  readonly count: number;
  readonly minMm: number | null;
  readonly maxMm: number | null;
  readonly meanMm: number | null;
  readonly springMinMm: number | null;
  readonly tensionN: number | null;
  readonly tensionMinN: number | null;
  readonly tensionMaxN: number | null;
}

export interface History {
  /** Width of a bucket: a whole number of minutes, or of hours from one hour on. */
  readonly widthMs: number;
  /** In order of time; a null stands where the line must break because nothing was read. */
  readonly points: readonly (HistoryPoint | null)[];
}

/** An entry as the service log shows it. */
export interface LoggedEntry extends EntryRecord {
  /** When the agent took it. */
  readonly takenMs: number;
}

/** The site file as it was at some time. */
export interface SiteVersion {
  readonly timeMs: number;
  /** Who changed it, where that is known. */
  readonly by?: string;
  /** For what reason, such as what a comparison on the bench showed. */
  readonly why?: string;
  readonly text: string;
}

/** A line of the list of site versions. */
export interface SiteVersionHead extends Omit<SiteVersion, 'text'> {
  readonly nr: number;
}
