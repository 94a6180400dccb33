import type { TrendNow } from '../../contract/messages.js';
import type { Conveyor, Takeup } from '../../site/site.js';
import { dateOfDayNumber, dayNumberOf } from '../../units/local-day.js';
import type { DaysSeen } from '../ledger/day-book.js';
import { nominalLengthMm } from '../ledger/closure.js';
import type { Account } from '../ledger/account.js';
import type { SettledDay } from '../ledger/settled-day.js';
import type { TrendDay } from '../ledger/trend-day.js';
import { earliest, forecast, type ForecastKey } from '../trend/forecast.js';
import { NO_FORECAST_SENTENCES } from '../trend/no-forecast.js';
import { strokeReachedOn } from '../trend/stroke-reserve.js';
import { carriagePerChainMm, type SharingTakeup } from '../takeup/travel.js';
import { wearFast, type WearCompared } from '../trend/wear-fast.js';
import type { WearDay } from '../trend/wear-day.js';
import { wearTrend } from '../trend/wear-trend.js';

/** The trend of a take-up, and what the daily alarms look at. NaN where there is no such figure. */
export interface TrendView {
  readonly trend: TrendNow;
  readonly strokeOutDays: number;
  readonly slackDays: number;
  readonly wear: WearCompared | undefined;
}

/** A trend of which nothing is known yet. */
const NO_TREND: TrendNow = Object.freeze({
  elongationPctPerDay: null,
  travelMmPerDay: null,
  strokeOut: null,
  springSlack: null,
  wearLimit: null,
  why: 'No day has settled values yet.',
});

export const NO_VIEW: TrendView = Object.freeze({ trend: NO_TREND, strokeOutDays: NaN, slackDays: NaN, wear: undefined });

const DAY_MS = 86_400_000;
/** How far back heat still to come is looked for, and the season. */
const RECENT_DAYS = 14;
const SEASON_DAYS = 400;

/** The days of the ledger as the trend takes them. */
function wearDays(conveyor: Conveyor, days: readonly TrendDay[]): WearDay[] {
  const heated = conveyor.zones.length > 0 || conveyor.ambient !== undefined;
  return days.map(({ dayNumber, runHours, stretch, elongationPct, flag, thermalMm, pitches }) => ({
    date: dateOfDayNumber(dayNumber),
    dayNumber: dayNumber + 0.5,
    runningHours: conveyor.running ? runHours : undefined,
    elongation: elongationPct / 100,
    flag,
    segment: stretch,
    ...(heated ? { heat: thermalMm / nominalLengthMm(pitches, conveyor.chain) } : {}),
  }));
}

/**
 * Wear, and the dates it leads to.
 * @param seen - the days of the take-up; undefined where there is none
 */
export function trendView(account: Account, index: number, seen: DaysSeen | undefined): TrendView {
  if (seen === undefined) return NO_VIEW;
  const { conveyor } = account;
  const { last, days } = seen;
  const takeup = conveyor.takeups[index] as Takeup;
  const wear = wearDays(conveyor, days);
  const newChainDay = Number.isFinite(last.newChainMs) ? Math.floor(last.newChainMs / DAY_MS) : undefined;
  const trend = wearTrend(wear, newChainDay === undefined ? {} : { newChainDay });
  const { row, end } = last;
  const [left, right] = account.sidesAt(index, last.endMs);
  const compressionMm = { left: left.spring.freeMm - end.springLeftMm, right: right.spring.freeMm - end.springRightMm };
  const softer = Math.min(left.spring.freeMm - left.spring.solidMm, right.spring.freeMm - right.spring.solidMm);
  const slackCompressionMm = takeup.limits['spring-slack']?.['compression_mm'] ?? 0.1 * softer;
  const slackOn = (day: SettledDay['row']): boolean =>
    Math.min(left.spring.freeMm - day.springLeftMm, right.spring.freeMm - day.springRightMm) <= slackCompressionMm ||
    day.strandTensionN <= (conveyor.chain.minTensionN ?? -Infinity);
  const told = forecast({
    asOf: row.date,
    trend,
    chain: {
      nominalMm: nominalLengthMm(row.pitches, conveyor.chain),
      stiffnessN: conveyor.chain.stiffnessKn === undefined ? undefined : conveyor.chain.stiffnessKn * 1000,
      wearLimitPct: conveyor.chain.wearLimitPct,
      // A provisional elongation reaches no limit: the step before it may be an unrecorded removal.
      elongation: row.flag === 'provisional' ? NaN : end.elongationPct / 100,
    },
    takeups: conveyor.takeups.map((_, other) => sharing(account, other, last.endMs)),
    takeup: index,
    stroke: {
      strokeMm: takeup.strokeMm,
      positionMm: end.positionMm,
      breathingMm: row.breathingMm,
      ...heatAhead(carriagePerChainMm(conveyor, index), last, days),
    },
    springs: {
      compressionMm,
      slackCompressionMm,
      carriageForceN: (end.strandTensionN * takeup.gain * (2 + takeup.turnFriction)) / 2,
      turnFriction: takeup.turnFriction,
      minTensionN: conveyor.chain.minTensionN,
    },
    reachedOn: reachedOn(conveyor, takeup, seen, slackOn),
  });
  // Without a trend only a stroke that is used up has its day.
  const dates = 'why' in trend ? { ...told, springSlack: null, wearLimit: null } : told;
  const first = earliest(dates);
  const why = whyNot(dates.strokeOut === null ? dates.why.strokeOut : undefined, trend);
  const compared = wearFast(wear, takeup.limits['wear-fast']?.['times']);
  return {
    trend: {
      elongationPctPerDay: trend.elongationPctPerDay ?? null,
      travelMmPerDay: dates.travelMmPerDay,
      strokeOut: dates.strokeOut,
      springSlack: dates.springSlack,
      wearLimit: dates.wearLimit,
      ...(first ? { first: { what: first.what, callsFor: first.callsFor } } : {}),
      ...(why === undefined ? {} : { why }),
    },
    strokeOutDays: daysTo(row.date, dates.strokeOut?.early),
    slackDays: daysTo(row.date, dates.springSlack?.early),
    wear: 'why' in compared ? undefined : compared,
  };
}

function whyNot(reason: keyof typeof NO_FORECAST_SENTENCES | undefined, trend: ReturnType<typeof wearTrend>): string | undefined {
  const named = 'why' in trend ? trend.why : reason;
  return named === undefined ? undefined : NO_FORECAST_SENTENCES[named];
}

function sharing(account: Account, index: number, atMs: number): SharingTakeup {
  const [left, right] = account.sidesAt(index, atMs);
  const rate = left.spring.perSide * left.spring.rateNPerMm + right.spring.perSide * right.spring.rateNPerMm;
  return { gain: account.conveyor.takeups[index]?.gain ?? NaN, springRateNPerMm: rate };
}

/** Outward travel that heat has still to bring: to the warmest of the last weeks, and from there to the warmest of the season. */
function heatAhead(
  perChainMm: number,
  last: SettledDay,
  days: readonly TrendDay[],
): { readonly heatToComeMm: number; readonly seasonalMm: number } {
  const within = (limit: number): readonly TrendDay[] => days.filter(({ endMs }) => last.endMs - endMs <= limit * DAY_MS);
  const recent = within(RECENT_DAYS);
  const hottest = most(recent.map(({ hottestMm }) => hottestMm));
  const usual = most(recent.map(({ thermalMm }) => thermalMm));
  const season = most(within(SEASON_DAYS).map(({ thermalMm }) => thermalMm));
  return {
    heatToComeMm: Math.max(0, (hottest - last.row.thermalMm) * perChainMm) || 0,
    seasonalMm: Math.max(0, (season - usual) * perChainMm) || 0,
  };
}

function most(values: readonly number[]): number {
  return values.reduce((largest, value) => (value > largest ? value : largest), -Infinity);
}

/** Days are looked at from the last one back, as long as the limit was passed. */
function reachedOn(
  conveyor: Conveyor,
  takeup: Takeup,
  seen: DaysSeen,
  slack: (row: SettledDay['row']) => boolean,
): Partial<Record<ForecastKey, string>> {
  const strokeOut = strokeReachedOn(seen.back(), takeup.strokeMm);
  const wearLimit = sinceWhen(seen, (row) => row.flag !== 'provisional' && row.elongationPct >= conveyor.chain.wearLimitPct);
  const springSlack = sinceWhen(seen, slack);
  return {
    ...(strokeOut === undefined ? {} : { strokeOut }),
    ...(wearLimit === undefined ? {} : { wearLimit }),
    ...(springSlack === undefined ? {} : { springSlack }),
  };
}

/** The first of the days, unbroken up to the last, on which something held. */
function sinceWhen(seen: DaysSeen, held: (row: SettledDay['row']) => boolean): string | undefined {
  let since: string | undefined;
  for (const row of seen.back()) {
    if (!held(row)) break;
    since = row.date;
  }
  return since;
}

function daysTo(asOf: string, date: string | undefined): number {
  return date === undefined ? NaN : dayNumberOf(date) - dayNumberOf(asOf);
}
