import type { AlarmKey, AlarmState, Priority, SuppressedBy } from '../flow/alarm-key.js';
import type { SideName } from '../site/site.js';
import type { UnknownReason } from '../units/unknown.js';

/** A number on the wire, or why there is none. Lengths mm, forces N, shares 0…1, elongation %. */
export type Figure = number | { readonly unknown: UnknownReason };

/** One side of a take-up, as published. */
export interface SideNow {
  /** The last good reading as it came, before it is judged and smoothed: what follows the carriage within a second. */
  readonly readingMm: Figure;
  /** Smoothed position from the inner stop. */
  readonly positionMm: Figure;
  /** When the last good reading of the position was made; absent before the first. */
  readonly positionAt?: string;
  /** Length of the spring: measured by its own sensor, or followed from the carriage. */
  readonly springMm: Figure;
  readonly forceN: Figure;
  /** The spring that is in force, of which the side has `perSide`: another one than the site file's once one was replaced. */
  readonly spring?: SpringNow;
}

/** A spring as it bears on what is drawn and judged. */
export interface SpringNow {
  readonly freeMm: number;
  readonly rateNPerMm: number;
  readonly solidMm: number;
  /** Solid + clearance is the shortest usable length. */
  readonly clearanceMm: number;
  readonly perSide: number;
  /** Where its wire is known. */
  readonly totalCoils?: number;
}

/** A date that a trend arrives at, with its early and late date (`YYYY-MM-DD`; `late` null where open-ended). */
export interface ForecastDate {
  readonly date: string;
  readonly early: string;
  readonly late: string | null;
}

/** What the trend says of a take-up. */
export interface TrendNow {
  readonly elongationPctPerDay: { readonly value: number; readonly low: number; readonly high: number } | null;
  readonly travelMmPerDay: number | null;
  readonly strokeOut: ForecastDate | null;
  readonly springSlack: ForecastDate | null;
  readonly wearLimit: ForecastDate | null;
  /** The earliest of the three and what it calls for. */
  readonly first?: { readonly what: 'stroke-out' | 'spring-slack' | 'wear-limit'; readonly callsFor: 'shorten' | 're-tension' | 'replace' };
  /** Why there is no forecast, in a sentence. */
  readonly why?: string;
}

/** A person set an alarm aside for a while: it comes back by itself. */
export interface ShelvedAlarm {
  readonly by: string;
  readonly why: string;
  readonly since: string;
  readonly until: string;
}

/** A person took an alarm out of service: it stays so until somebody puts it back. */
export interface OutOfServiceAlarm {
  readonly by: string;
  readonly why: string;
  readonly since: string;
}

/** A standing alarm as carried in `now`: one that is not normal. */
export interface StandingAlarm {
  readonly alarm: AlarmKey;
  readonly state: AlarmState;
  readonly priority: Priority;
  readonly side?: SideName;
  readonly signal?: string;
  readonly since: string;
  readonly value: Figure;
  readonly limit: number | null;
  readonly unit: string;
  /** Present while the state is `shelved`. */
  readonly shelved?: ShelvedAlarm;
  /** Present while the state is `out-of-service`. */
  readonly outOfService?: OutOfServiceAlarm;
  /** Present while the state is `suppressed-by-design`: what suppresses it. */
  readonly suppressedBy?: SuppressedBy;
  /**
   * Whether its condition is there, where the state does not say so: present while it is shelved, suppressed by design or out of
   * service, since it goes on being evaluated; and, false, while it is latched.
   */
  readonly active?: boolean;
}

/** `takeline/<site>/out/<conveyor>/<takeup>/now`: retained, at most two a second. */
export interface TakeupNow {
  readonly version: 1;
  readonly conveyor: string;
  readonly takeup: string;
  /** The data's own time that this picture is of. */
  readonly time: string;
  readonly running: boolean | null;
  readonly positionMm: Figure;
  readonly remainingMm: Figure;
  readonly skewMm: Figure;
  /** 5–95 % range over the last settled window. */
  readonly breathingMm: Figure;
  /** The furthest in and out of the last 24 h, spike-free. */
  readonly dayRangeMm: readonly [number, number] | null;
  readonly left: SideNow;
  readonly right: SideNow;
  readonly carriageForceN: Figure;
  readonly strandTensionN: Figure;
  readonly marginToSolidMm: Figure;
  readonly settledMm: Figure;
  /** When the settled window ended that settled position, breathing and chain are of; absent before the first. */
  readonly settledAt?: string;
  /** Hours that the conveyor had run by then, on the count of `runHours`. */
  readonly settledRunHours?: number;
  /** Hours that the conveyor has run since the agent first listened, rounded up to a tenth. */
  readonly runHours?: number;
  readonly chain: {
    readonly pitches: number;
    readonly removedPitches: number;
    readonly elongationPct: Figure;
    readonly wearPerJointMm: Figure;
    readonly thermalMm: Figure;
    readonly elasticMm: Figure;
    /** True from an unexplained step on. */
    readonly provisional: boolean;
  };
  readonly trend: TrendNow;
  /** A service is open on it, by whom where said. */
  readonly service: { readonly since: string; readonly by?: string } | null;
  readonly alarms: readonly StandingAlarm[];
}

/** `takeline/<site>/out/<conveyor>/<takeup>/alarm/<KEY>`: retained, one per alarm that ever left normal. */
export interface AlarmMessage extends StandingAlarm {
  readonly version: 1;
  readonly conveyor: string;
  readonly takeup?: string;
  /** When the alarm took its present state. */
  readonly time: string;
  /** What is seen, what happens if nobody acts, what to do, and the minutes there are to respond. */
  readonly seen: string;
  readonly consequence: string;
  readonly action: string;
  readonly respondWithinMin: number;
}

/** `takeline/<site>/out/<conveyor>/<takeup>/event`: every transition and finding; `id` makes a repeated delivery harmless. */
export interface EventMessage {
  readonly version: 1;
  readonly id: string;
  readonly time: string;
  readonly conveyor: string;
  readonly takeup?: string;
  readonly event: 'alarm' | 'finding' | 'service' | 'settled-day';
  readonly detail: Readonly<Record<string, unknown>>;
}

/** One signal as the agent has it now: the answer to `do/signals` carries a list of them as `detail.signals`. */
export interface SignalNow {
  readonly signal: string;
  /** The last reading as it came, before scale; null where there was none, or it was no number. */
  readonly raw: number | null;
  /** The last good one in mm, °C, m/min, or 1 and 0. */
  readonly value: Figure;
  readonly state: 'good' | 'lost' | 'fault' | 'never-read';
  /** When the last reading was made, good or not; absent before the first. */
  readonly at?: string;
  /** Readings that were not used since the agent's start, by reason. */
  readonly rejected: Readonly<Record<string, number>>;
}

/** `takeline/<site>/agent/<id>/status`: retained; the will says `running: false`. */
export interface AgentStatus {
  readonly version: 1;
  readonly agent: string;
  readonly site: string;
  readonly running: boolean;
  readonly time: string;
  readonly readings?: number;
  readonly rejected?: Readonly<Record<string, number>>;
}

/** A request under `takeline/<site>/do/<verb>`. */
export interface RequestMessage {
  readonly request: string;
  readonly by: string;
  readonly [field: string]: unknown;
}

/** The answer under `takeline/<site>/done/<request>`. */
export interface AnswerMessage {
  readonly request: string;
  readonly ok: boolean;
  readonly message: string;
  readonly detail?: { readonly signals?: readonly SignalNow[]; readonly applied?: boolean };
}
