import type { SettledDayOutput } from '../../../agent/flow/output.js';
import type { AlarmEvent, History } from '../../../agent/store/history.js';
import type { DiskUse } from '../../../agent/store/disk-use.js';
import type { Recorded } from '../../../agent/store/recorder.js';
import type { PositionSeries, RunningShares, TemperatureSeries } from '../../../agent/store/series.js';
import type { StandingEntry } from './live-messages.js';
import type { Permission, Role } from './permissions.js';

/** What the API answers with, for the routes that give it and the screens that read it. */

/** `GET /api/me`: who is signed in, and what they may do. */
export interface MeAnswer {
  readonly name: string;
  readonly role: Role;
  readonly permissions: readonly Permission[];
}

/** One of `GET /api/people`. */
export interface PersonAnswer {
  readonly name: string;
  readonly role: Role;
}

/** A row of `GET /api/takeups/…/days`: null where not known. */
export type DayAnswer = {
  readonly [Field in keyof SettledDayOutput]: SettledDayOutput[Field] extends number ? number | null : SettledDayOutput[Field];
};

/** `GET /api/takeups/…/minutes`. */
export type MinutesAnswer = History;

/** Why a picture is drawn from minutes where its points would be finer. */
export type CoarseReason = 'readings-gone' | 'too-many-readings' | 'other-settings';

/** `GET /api/takeups/…/series`: a take-up's history with what its conveyor did meanwhile, all in points of one width. */
export interface SeriesAnswer extends PositionSeries {
  readonly temperatures: readonly TemperatureSeries[];
  /** Null where the conveyor has no running signal. */
  readonly running: RunningShares | null;
  /** Absent where the points are as fine as the picture. */
  readonly coarse?: CoarseReason;
}

/** `GET /api/recorder`: stretches whose raw readings are kept for good, latest first. */
export type RecordedAnswer = readonly Recorded[];

/** `GET /api/disk`: what the history takes, by kind. */
export type DiskAnswer = DiskUse;

/** A transition of an alarm; of the whole site where it has no conveyor. */
export type AlarmEventAnswer = Omit<AlarmEvent, 'conveyor'> & { readonly conveyor?: string };

/** `GET /api/alarms/changes`: a page of transitions, latest first. */
export interface ChangesAnswer {
  readonly events: readonly AlarmEventAnswer[];
  /** How many the filter lets through on all pages. */
  readonly total: number;
  /** What to give as `before` for the next page; absent on the last. */
  readonly next?: string;
}

/** An alarm by name, for what is done with it. */
export interface AlarmRequest {
  readonly alarm: string;
  readonly conveyor?: string;
  readonly takeup?: string;
  readonly side?: string;
  readonly signal?: string;
}

/** `POST /api/alarms/acknowledge-several`. */
export interface AcknowledgedAnswer {
  readonly acknowledged: number;
  /** Those that were not, each with a sentence why. */
  readonly refused: readonly { readonly alarm: AlarmRequest; readonly why: string }[];
}

/** `GET /api/alarms`: what stands, and the latest changes, latest first. */
export interface AlarmsAnswer {
  readonly standing: readonly StandingEntry[];
  readonly recent: readonly AlarmEventAnswer[];
}

/** A page to one person over one channel, and what became of it. Times are on the machine's clock. */
export interface PageTold {
  /** The person's name. */
  readonly person: string;
  readonly channel: 'email' | 'webhook';
  readonly madeMs: number;
  readonly state: 'waiting' | 'delivered' | 'failed';
  readonly tries: number;
  /** When it is tried next, while it waits. */
  readonly nextMs?: number;
  /** When the other side took it, or it was given up. */
  readonly settledMs?: number;
  /** What the other side said last; only for those who may act on it. */
  readonly said?: string;
  /** How many alarms the page tells of, this one among them. */
  readonly alarms: number;
}

/** Who was called for an alarm that is not normal, and what became of it. */
export interface AlarmPaging {
  /** As in the list of standing alarms. */
  readonly id: string;
  /** In the order in which they were made. */
  readonly pages: readonly PageTold[];
  /** Why somebody, or nobody, was paged; `reason` is a `NoPageReason` of paging. */
  readonly notes: readonly { readonly timeMs: number; readonly reason: string; readonly person?: string }[];
  /** When the first page is due, as long as there was none. */
  readonly dueMs?: number;
  /** What the latest page says will happen if nobody acknowledges. */
  readonly next?: { readonly atMs: number; readonly to: string };
  /** Who acknowledged it, and when on the data's clock. */
  readonly taken?: { readonly by: string; readonly timeMs: number };
}

/** `GET /api/alarms/paging`. */
export interface PagingAnswer {
  readonly alarms: readonly AlarmPaging[];
}
