import { dateOfDayNumber, dayNumberOf } from '../../units/local-day.js';
import { crossing } from './crossing.js';
import type { NoForecastReason } from './no-forecast.js';
import { travelToSlackMm, type SpringReserve } from './spring-travel.js';
import { strokeNeed, type StrokeReserve } from './stroke-reserve.js';
import { travelPerWear, type SharingTakeup } from '../takeup/travel.js';
import type { NoTrend, WearTrend } from './wear-trend.js';

/** A day that the trend arrives at, `YYYY-MM-DD`, early ≤ date ≤ late; `late` is null where open-ended. */
export interface ForecastDate {
  readonly date: string;
  readonly early: string;
  readonly late: string | null;
}

export type ForecastKey = 'strokeOut' | 'springSlack' | 'wearLimit';

export interface ForecastInput {
  /** The day that the figures are of, from which days are counted: that of the last settled value. */
  readonly asOf: string;
  readonly trend: WearTrend | NoTrend;
  readonly chain: {
    /** n·p now. */
    readonly nominalMm: number;
    readonly stiffnessN: number | undefined;
    readonly wearLimitPct: number;
    /** ε as of the day, a ratio; NaN where not known. */
    readonly elongation: number;
  };
  /** All take-ups on the chain, and which of them this is of. */
  readonly takeups: readonly SharingTakeup[];
  readonly takeup: number;
  readonly stroke: StrokeReserve;
  readonly springs: Omit<SpringReserve, keyof SharingTakeup>;
  /** The day on which a limit that is passed was first found so; the as-of day where left out. See `strokeReachedOn`. */
  readonly reachedOn?: Partial<Readonly<Record<ForecastKey, string>>>;
}

export interface Forecast {
  /** Null where there is no trend. */
  readonly travelMmPerDay: number | null;
  readonly strokeOut: ForecastDate | null;
  readonly springSlack: ForecastDate | null;
  readonly wearLimit: ForecastDate | null;
  /** Why a date that is null is so. */
  readonly why: Partial<Readonly<Record<ForecastKey, NoForecastReason>>>;
}

/** What is ahead of one limit, in travel or elongation from the as-of day. */
interface Ahead {
  readonly reached: boolean;
  /** ε still to gain; NaN where not known. */
  readonly gain: number;
  readonly earlyGain: number;
  readonly unknown: NoForecastReason;
}

/**
 * The days on which the stroke is out, the springs are slack and the chain is worn, from its wear (mechanics §6), with nobody turning
 * nuts or shortening the chain meanwhile. A limit already passed keeps its day and needs no trend.
 *
 * The position and springs of one day scatter as its elongation does: they are moved to where the line of the trend has the
 * chain, so that the dates do not jump from day to day.
 */
export function forecast(input: ForecastInput): Forecast {
  const { chain, stroke, trend, takeup } = input;
  const sharing = input.takeups[takeup];
  if (sharing === undefined) throw new RangeError('the take-up asked for is not among those of its chain');
  const perWear = travelPerWear(chain.nominalMm, chain.stiffnessN, input.takeups)[takeup] as number;
  const travelPerElongation = perWear * chain.nominalMm;
  const told = 'why' in trend ? undefined : trend;
  const level = told?.level ?? NaN;
  const offLine = Number.isFinite(level - chain.elongation) ? level - chain.elongation : 0;
  const toGain = (travelMm: number) => travelMm / travelPerElongation - offLine;

  const need = strokeNeed(stroke);
  const slackMm = travelToSlackMm({ ...input.springs, ...sharing });
  const wearLimit = chain.wearLimitPct / 100;
  const worn = Number.isFinite(level) ? level : chain.elongation;
  const ahead: Record<ForecastKey, Ahead> = {
    strokeOut: { reached: need.usedUp, gain: toGain(need.leftMm), earlyGain: toGain(need.leftEarlyMm), unknown: 'position-unknown' },
    springSlack: { reached: slackMm <= 0, gain: toGain(slackMm), earlyGain: toGain(slackMm), unknown: 'springs-unknown' },
    wearLimit: { reached: worn >= wearLimit, gain: wearLimit - worn, earlyGain: wearLimit - worn, unknown: 'elongation-unknown' },
  };

  const why: Partial<Record<ForecastKey, NoForecastReason>> = {};
  const dateFor = (key: ForecastKey): ForecastDate | null => {
    const day = dayOf(input, key, ahead[key]);
    if (typeof day !== 'string') return day;
    why[key] = day;
    return null;
  };
  return {
    travelMmPerDay: told ? travelPerElongation * told.slope.perDay.value : null,
    strokeOut: dateFor('strokeOut'),
    springSlack: dateFor('springSlack'),
    wearLimit: dateFor('wearLimit'),
    why,
  };
}

function dayOf({ asOf, trend, reachedOn }: ForecastInput, key: ForecastKey, ahead: Ahead): ForecastDate | NoForecastReason {
  if (key === 'wearLimit' && !('why' in trend) && trend.provisional) return 'change-unexplained';
  if (ahead.reached) {
    const day = reachedOn?.[key] ?? asOf;
    return { date: day, early: day, late: day };
  }
  if ('why' in trend) return trend.why;
  if (Number.isNaN(ahead.gain)) return ahead.unknown;
  const days = crossing(trend.slope, ahead.gain, ahead.earlyGain);
  if (days === undefined) return 'beyond-horizon';
  // The figures of a day stand for its middle.
  const from = dayNumberOf(asOf) + 0.5;
  return {
    date: dateOfDayNumber(from + days.days),
    early: dateOfDayNumber(from + days.early),
    late: days.late === undefined ? null : dateOfDayNumber(from + days.late),
  };
}

/** What comes first and what it calls for. */
export interface FirstLimit {
  readonly what: 'stroke-out' | 'spring-slack' | 'wear-limit';
  readonly callsFor: 'shorten' | 're-tension' | 'replace';
  readonly when: ForecastDate;
}

/** The earliest of the three dates; of those on one day the one that asks for more. Undefined where there is no date. */
export function earliest(dates: Pick<Forecast, ForecastKey>): FirstLimit | undefined {
  const limits = [
    { what: 'wear-limit', callsFor: 'replace', when: dates.wearLimit },
    { what: 'stroke-out', callsFor: 'shorten', when: dates.strokeOut },
    { what: 'spring-slack', callsFor: 're-tension', when: dates.springSlack },
  ] as const;
  let first: FirstLimit | undefined;
  for (const { when, ...limit } of limits) {
    if (when !== null && (first === undefined || when.date < first.when.date)) first = { ...limit, when };
  }
  return first;
}
