import type { SettledDayOutput } from '../../../agent/flow/output.js';
import type { AlarmEvent, History } from '../../../agent/store/history.js';
import type { DiskUse } from '../../../agent/store/disk-use.js';
import type { Recorded } from '../../../agent/store/recorder.js';
import type { PositionSeries } from '../../../agent/store/series.js';
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

/** `GET /api/takeups/…/series`. */
export type SeriesAnswer = PositionSeries;

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
