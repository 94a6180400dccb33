import type { TrendNow } from '../../contract/messages.js';
import type { Conveyor, Takeup } from '../../site/site.js';
import { dayNumberOf } from '../../units/local-day.js';
import type { SettledDay } from '../ledger/day-book.js';
import { nominalLengthMm } from '../ledger/closure.js';
import type { Ledger } from '../ledger/ledger.js';
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
function wearDays(conveyor: Conveyor, days: readonly SettledDay[]): WearDay[] {
  const heated = conveyor.zones.length > 0 || conveyor.ambient !== undefined;
  return days.map(({ row, runHours, stretch, dayNumber }) => ({
    date: row.date,
    dayNumber: dayNumber + 0.5,
    runningHours: conveyor.running ? runHours : undefined,
    elongation: row.elongationPct / 100,
    flag: row.flag,
    segment: stretch,
    ...(heated ? { heat: row.thermalMm / nominalLengthMm(row.pitches, conveyor.chain) } : {}),
  }));
}

/**
 * Wear, and the dates it leads to.
 * @param days - of the take-up, oldest first
 */
export function trendView(ledger: Ledger, index: number, days: readonly SettledDay[]): TrendView {
  const { conveyor } = ledger;
  const last = days.at(-1);
  if (last === undefined) return NO_VIEW;
  const takeup = conveyor.takeups[index] as Takeup;
  const wear = wearDays(conveyor, days);
  const newChainDay = Number.isFinite(last.newChainMs) ? Math.floor(last.newChainMs / DAY_MS) : undefined;
  const trend = wearTrend(wear, newChainDay === undefined ? {} : { newChainDay });
  const { row, end } = last;
  const [left, right] = ledger.sidesAt(index, last.endMs);
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
    takeups: conveyor.takeups.map((_, other) => sharing(ledger, other, last.endMs)),
    takeup: index,
    stroke: {
      strokeMm: takeup.strokeMm,
      positionMm: end.positionMm,
      breathingMm: row.breathingMm,
      ...heatAhead(carriagePerChainMm(conveyor, index), days),
    },
    springs: {
      compressionMm,
      slackCompressionMm,
      carriageForceN: (end.strandTensionN * takeup.gain * (2 + takeup.turnFriction)) / 2,
      turnFriction: takeup.turnFriction,
      minTensionN: conveyor.chain.minTensionN,
    },
    reachedOn: reachedOn(conveyor, takeup, days, slackOn),
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

function sharing(ledger: Ledger, index: number, atMs: number): SharingTakeup {
  const [left, right] = ledger.sidesAt(index, atMs);
  const rate = left.spring.perSide * left.spring.rateNPerMm + right.spring.perSide * right.spring.rateNPerMm;
  return { gain: ledger.conveyor.takeups[index]?.gain ?? NaN, springRateNPerMm: rate };
}

/** Outward travel that heat has still to bring: to the warmest of the last weeks, and from there to the warmest of the season. */
function heatAhead(perChainMm: number, days: readonly SettledDay[]): { readonly heatToComeMm: number; readonly seasonalMm: number } {
  const last = days.at(-1) as SettledDay;
  const within = (limit: number): SettledDay[] => days.filter(({ endMs }) => last.endMs - endMs <= limit * DAY_MS);
  const recent = within(RECENT_DAYS);
  const hottest = most(recent.map(({ hottestMm }) => hottestMm));
  const usual = most(recent.map(({ row }) => row.thermalMm));
  const season = most(within(SEASON_DAYS).map(({ row }) => row.thermalMm));
  return {
    heatToComeMm: Math.max(0, (hottest - last.row.thermalMm) * perChainMm) || 0,
    seasonalMm: Math.max(0, (season - usual) * perChainMm) || 0,
  };
}

function most(values: readonly number[]): number {
  return values.reduce((largest, value) => (value > largest ? value : largest), -Infinity);
}

function reachedOn(
  conveyor: Conveyor,
  takeup: Takeup,
  days: readonly SettledDay[],
  slack: (row: SettledDay['row']) => boolean,
): Partial<Record<ForecastKey, string>> {
  const strokeOut = strokeReachedOn(
    days.map(({ row }) => row),
    takeup.strokeMm,
  );
  const wearLimit = sinceWhen(days, (row) => row.flag !== 'provisional' && row.elongationPct >= conveyor.chain.wearLimitPct);
  const springSlack = sinceWhen(days, slack);
  return {
    ...(strokeOut === undefined ? {} : { strokeOut }),
    ...(wearLimit === undefined ? {} : { wearLimit }),
    ...(springSlack === undefined ? {} : { springSlack }),
  };
}

/** The first of the days, unbroken up to the last, on which something held. */
function sinceWhen(days: readonly SettledDay[], held: (row: SettledDay['row']) => boolean): string | undefined {
  const before = days.findLastIndex(({ row }) => !held(row));
  return days[before + 1]?.row.date;
}

function daysTo(asOf: string, date: string | undefined): number {
  return date === undefined ? NaN : dayNumberOf(date) - dayNumberOf(asOf);
}
