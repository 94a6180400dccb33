import type { SettledDayOutput } from '../../../agent/flow/output.js';
import type { AlarmEvent, History } from '../../../agent/store/history.js';
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

/** A transition of an alarm. */
export type AlarmEventAnswer = AlarmEvent;

/** `GET /api/alarms`: what stands, and the latest changes, latest first. */
export interface AlarmsAnswer {
  readonly standing: readonly StandingEntry[];
  readonly recent: readonly AlarmEventAnswer[];
}
