import type { SideName, Spring } from '../site/site.js';
import type { AlarmKey, AlarmState, Priority } from './alarm-key.js';

/** Why a row or message was not taken (contracts §2, §3). Spikes are counted, not listed. */
export type RejectReason = 'unparsable' | 'unknown-signal' | 'out-of-range' | 'spike' | 'late' | 'duplicate';

/** A reading that was looked at and not used. */
export interface RejectOutput {
  readonly kind: 'reject';
  readonly signal: string;
  readonly timeMs: number;
  readonly reason: RejectReason;
}

/** A transition of one alarm. */
export interface AlarmOutput {
  readonly kind: 'alarm';
  /** When it happened on the data's clock. */
  readonly timeMs: number;
  readonly conveyor: string;
  readonly takeup?: string;
  readonly side?: SideName;
  readonly signal?: string;
  readonly alarm: AlarmKey;
  readonly priority: Priority;
  /** `raised` and `cleared` are the condition's; the others are an operator's or the design's. */
  readonly change:
    'raised' | 'cleared' | 'acknowledged' | 'shelved' | 'unshelved' | 'suppressed' | 'unsuppressed' | 'out-of-service' | 'in-service';
  readonly from: AlarmState;
  readonly to: AlarmState;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  readonly by?: string;
  readonly why?: string;
}

/** One day of one take-up: a row of `settled.csv`. NaN where not known. */
export interface SettledDayOutput {
  readonly kind: 'settled-day';
  /** Local calendar date in the site's time zone. */
  readonly date: string;
  readonly conveyor: string;
  readonly takeup: string;
  readonly windows: number;
  readonly positionMm: number;
  readonly skewMm: number;
  readonly breathingMm: number;
  readonly thermalMm: number;
  readonly elasticMm: number;
  readonly pitches: number;
  readonly elongationPct: number;
  readonly wearPerJointMm: number;
  readonly springLeftMm: number;
  readonly springRightMm: number;
  readonly strandTensionN: number;
  /** The ε of this day is provisional (an unexplained step) or a bound (at a stop, springs solid or free). */
  readonly flag: 'value' | 'provisional' | 'bound';
}

/** One minute of one take-up, for the history: spike-free, unsmoothed extremes and the mean. NaN where not known. */
export interface MinuteOutput {
  readonly kind: 'minute';
  readonly conveyor: string;
  readonly takeup: string;
  readonly timeMs: number;
  readonly count: number;
  readonly minMm: number;
  readonly maxMm: number;
  readonly meanMm: number;
  readonly springMinMm: number;
  /** Strand tension by the spike-free, unsmoothed springs: its mean, and its extremes to the next whole newton outwards. */
  readonly tensionN: number;
  readonly tensionMinN: number;
  readonly tensionMaxN: number;
}

/** What a temperature of a conveyor was through a minute. */
export interface TemperatureOutput {
  readonly kind: 'temperature';
  readonly conveyor: string;
  /** Name of its signal. */
  readonly signal: string;
  readonly timeMs: number;
  readonly count: number;
  readonly minC: number;
  readonly maxC: number;
  readonly meanC: number;
  /** How warm the chain was at its end; NaN where the chain is taken to have the temperature that is measured. */
  readonly chainC: number;
}

/** From here on a conveyor runs, stands, or it is not known which. */
export interface RunningOutput {
  readonly kind: 'running';
  readonly conveyor: string;
  readonly timeMs: number;
  /** 1 running, 0 standing, NaN not known. */
  readonly running: number;
}

/** From here on a side's spring is followed and weighed so: what is worked out from readings again later needs it. */
export interface SpringSettingOutput {
  readonly kind: 'spring-setting';
  readonly conveyor: string;
  readonly takeup: string;
  readonly side: SideName;
  readonly timeMs: number;
  readonly setting: { readonly set: { readonly positionMm: number; readonly springMm: number }; readonly spring: Spring };
}

export const FINDING_KEYS = [
  'chain-removed',
  'chain-inserted',
  'step-unexplained',
  'nut-turned',
  'carriage-stuck',
  'chain-caught',
  'chain-slack',
  'skew-growing',
  'wear-fast',
  'sensor-doubtful',
] as const;
export type FindingKey = (typeof FINDING_KEYS)[number];

/** What the carriage says (mechanics §7). */
export interface FindingOutput {
  readonly kind: 'finding';
  readonly id: string;
  /** When it became known on the data's clock. */
  readonly timeMs: number;
  /** The last settled window before, and the first after. */
  readonly fromMs: number;
  readonly toMs: number;
  readonly conveyor: string;
  readonly takeup: string;
  readonly finding: FindingKey;
  /** Positive outwards; null where the finding is not a move. */
  readonly moveMm: number | null;
  /** The service entry it suggests, in the contract's own form. */
  readonly suggestion?: Readonly<Record<string, unknown>>;
  /** What was seen and what it rests on, in plain words. */
  readonly text: string;
  /** What became of it: open where left out; explained by a service entry; rejected by a person. */
  readonly state?: 'explained' | 'rejected';
  /** Who rejected it. */
  readonly by?: string;
}

export type Output =
  RejectOutput | AlarmOutput | SettledDayOutput | MinuteOutput | TemperatureOutput | RunningOutput | SpringSettingOutput | FindingOutput;
