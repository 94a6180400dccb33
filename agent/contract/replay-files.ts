import type { AlarmOutput, FindingOutput, RejectReason, SettledDayOutput } from '../flow/output.js';
import { formatTime } from '../units/time.js';
import type { ForecastDate } from './messages.js';

/** What a replay writes (contracts §4): the lines of its files, and the shape of its summary. */

/** Lengths to a micrometre, everything else to as many digits as a person could use: enough for any check, and short files. */
function rounded(value: number, digits = 6): number | null {
  if (!Number.isFinite(value)) return null;
  const rounding = Number(value.toFixed(digits));
  return rounding === 0 ? 0 : rounding;
}

export { rounded as roundedNumber };

/** A line of `alarms.jsonl`. */
export function alarmLine(event: AlarmOutput): string {
  return JSON.stringify({
    time: formatTime(Math.round(event.timeMs)),
    conveyor: event.conveyor,
    takeup: event.takeup,
    side: event.side,
    signal: event.takeup === undefined ? event.signal : undefined,
    alarm: event.alarm,
    change: event.change,
    value: rounded(event.value ?? NaN),
    limit: rounded(event.limit ?? NaN),
    unit: event.unit,
  });
}

/** A line of `findings.jsonl`. */
export function findingLine(finding: FindingOutput): string {
  return JSON.stringify({
    from: formatTime(Math.round(finding.fromMs)),
    to: formatTime(Math.round(finding.toMs)),
    conveyor: finding.conveyor,
    takeup: finding.takeup,
    finding: finding.finding,
    move_mm: finding.moveMm === null ? null : rounded(finding.moveMm, 3),
    suggestion: finding.suggestion,
    text: finding.text,
  });
}

export const SETTLED_HEADER =
  'date,conveyor,takeup,position_mm,skew_mm,breathing_mm,thermal_mm,elastic_mm,pitches,elongation_pct,wear_per_joint_mm,spring_left_mm,spring_right_mm,strand_tension_n';

/** A row of `settled.csv`; what is not known is left blank. */
export function settledRow(day: SettledDayOutput): string {
  const numbers: readonly (readonly [number, number])[] = [
    [day.positionMm, 4],
    [day.skewMm, 4],
    [day.breathingMm, 4],
    [day.thermalMm, 4],
    [day.elasticMm, 4],
    [day.pitches, 0],
    [day.elongationPct, 7],
    [day.wearPerJointMm, 7],
    [day.springLeftMm, 4],
    [day.springRightMm, 4],
    [day.strandTensionN, 3],
  ];
  return [day.date, day.conveyor, day.takeup, ...numbers.map(([value, digits]) => String(rounded(value, digits) ?? ''))].join(',');
}

export const REJECTS_HEADER = 'line,reason';

/** `summary.json`. */
export interface ReplaySummary {
  readonly site: string;
  readonly recording: {
    readonly first: string | null;
    readonly last: string | null;
    /** Data rows of the file, taken or not. */
    readonly readings: number;
    readonly rejected: Readonly<Record<RejectReason, number>>;
  };
  readonly takeups: readonly TakeupSummary[];
}

export interface TakeupSummary {
  readonly conveyor: string;
  readonly takeup: string;
  readonly asOf: string | null;
  readonly positionMm: number | null;
  readonly remainingMm: number | null;
  readonly skewMm: number | null;
  readonly breathingMm: number | null;
  readonly chain: {
    readonly pitches: number;
    readonly elongationPct: number | null;
    readonly wearPerJointMm: number | null;
    readonly thermalMm: number | null;
    readonly elasticMm: number | null;
    readonly removedPitches: number;
    readonly provisional: boolean;
  };
  readonly spring: {
    readonly leftMm: number | null;
    readonly rightMm: number | null;
    readonly carriageForceN: number | null;
    readonly strandTensionN: number | null;
    readonly marginToSolidMm: number | null;
  };
  readonly trend: TrendSummary;
}

export interface TrendSummary {
  readonly elongationPctPerDay: { readonly value: number; readonly low: number; readonly high: number } | null;
  readonly travelMmPerDay: number | null;
  readonly strokeOut: ForecastDate | null;
  readonly springSlack: ForecastDate | null;
  readonly wearLimit: ForecastDate | null;
  readonly why?: string;
}
