import { describe, expect, it } from 'vitest';
import { forecast } from '../../agent/flow/trend/forecast.js';
import type { WearDay } from '../../agent/flow/trend/wear-day.js';
import { wearFast } from '../../agent/flow/trend/wear-fast.js';
import { wearSlope } from '../../agent/flow/trend/wear-slope.js';
import { wearTrend } from '../../agent/flow/trend/wear-trend.js';
import { widenedSlope, type WidenedSlope } from '../../agent/flow/trend/widened-slope.js';
import { dateOfDayNumber, dayNumberOf } from '../../agent/units/local-day.js';
import { hangingTogether, seededNoise, type Noise } from '../flow/trend/seeded-noise.js';

/**
 * Nominal 90 % intervals on simulated days whose true slope is known: how often, of so many series, they hold it. Each run uses
 * the same seeds, so a figure outside its band is a change of the method and no bad luck.
 */
const SERIES = 500;
/** So far chance may move a share of 85 to 95 % in so many series: under two of its standard errors, in per cent. */
const LUCK = 2.5;
const FIRST_DAY = 20_454.5;

interface Day {
  readonly day: number;
  readonly y: number;
}
type Scatter = (count: number, noise: Noise) => Day[];

const daily = (values: readonly number[]): Day[] => values.map((y, day) => ({ day, y }));
const dependent =
  (correlation: number): Scatter =>
  (count, noise) =>
    daily(hangingTogether(count, correlation, noise));
const addedTo =
  (scatter: Scatter, add: (day: number, noise: Noise) => number): Scatter =>
  (count, noise) =>
    scatter(count, noise).map(({ day, y }) => ({ day, y: y + add(day, noise) }));
const outlier = (_day: number, noise: Noise) => (noise.even() < 0.06 ? 8 * noise.normal() : 0);
const weekend = (swing: number) => (day: number) => (day % 7 < 5 ? swing : -swing);
const withoutDays =
  (scatter: Scatter, keep: (day: number, noise: Noise) => boolean): Scatter =>
  (count, noise) =>
    scatter(3 * count, noise)
      .filter(({ day }) => keep(day, noise))
      .slice(0, count);
/** The load of each week is its own, on top of the scatter of the days. */
const loadByTheWeek: Scatter = (count, noise) => {
  const begins = Math.floor(7 * noise.even());
  const weeks = hangingTogether(count, 0, noise);
  return daily(hangingTogether(count, 0, noise).map((y, day) => y + (weeks[Math.floor((day + begins) / 7)] ?? 0)));
};
const weather: Scatter = (count, noise) => {
  const fronts = hangingTogether(count, 0.8, noise);
  return daily(fronts.map((front) => front + noise.normal()));
};

/** Of series of `count` days, the per cent whose interval holds the true slope. */
function coverage(scatter: Scatter, count: number, round = 0, of: (line: WidenedSlope) => { low: number; high: number } = (line) => line) {
  let held = 0;
  for (let series = 0; series < SERIES; series++) {
    const noise = seededNoise(100 * series + count);
    const slope = 0.2 * noise.even();
    const points = scatter(count, noise).map(({ day, y }) => {
      const value = y + slope * day;
      return { day: FIRST_DAY + day, x: FIRST_DAY + day, y: round > 0 ? Math.round(value / round) * round : value };
    });
    const { low, high } = of(widenedSlope(points, 0.9)!);
    if (low <= slope && slope <= high) held++;
  }
  return (100 * held) / SERIES;
}

function expectWithin(percent: number, low: number, high: number) {
  expect(percent).toBeGreaterThanOrEqual(low - LUCK);
  expect(percent).toBeLessThanOrEqual(high + LUCK);
}

describe('the 90 % interval of the wear rate holds the true rate in 85 to 95 % of simulated series', () => {
  const scatters: readonly [string, Scatter, number?][] = [
    ['independent days', dependent(0)],
    ['days that hang together a little (0.3)', dependent(0.3)],
    ['days that hang together (0.6)', dependent(0.6)],
    ['a load of its own each week', loadByTheWeek],
    ['weather of several days', weather],
    ['outliers', addedTo(dependent(0), outlier)],
    ['outliers on days that hang together (0.5)', addedTo(dependent(0.5), outlier)],
    ['values rounded to half their scatter', dependent(0), 0.5],
    ['values rounded to their scatter', dependent(0), 1],
    ['four days of ten missing, the rest hanging together (0.6)', withoutDays(dependent(0.6), (_day, noise) => noise.even() < 0.6)],
    ['weekends missing, the rest hanging together (0.6)', withoutDays(dependent(0.6), (day) => day % 7 < 5)],
  ];
  it.each(scatters)('%s', (_name, scatter, round) => {
    for (const count of [28, 90]) expectWithin(coverage(scatter, count, round), 85, 95);
    // With so few days the interval errs on the wide side.
    for (const count of [10, 20]) expectWithin(coverage(scatter, count, round), 85, 97);
  });

  it.each([
    ['a light weekend', addedTo(dependent(0), weekend(1))],
    ['a weekend that outweighs the scatter', addedTo(dependent(0), weekend(3))],
  ])('%s', (_name, scatter) => {
    for (const count of [28, 60]) expectWithin(coverage(scatter, count), 85, 95);
    // Before the third week the week cannot be told from wear, and is counted as scatter.
    for (const count of [10, 14]) expectWithin(coverage(scatter, count), 85, 100);
  });

  it.each([
    ['strongly (0.8)', dependent(0.8), 85],
    ['very strongly (0.9)', dependent(0.9), 84],
  ])('days that hang together %s', (_name, scatter, least) => {
    for (const count of [20, 60, 90]) expectWithin(coverage(scatter, count), least, 95);
    // Ten days that all lean one way look like wear, to any method.
    expectWithin(coverage(scatter, 10), least - 2, 95);
  });

  it('which the plain interval does not', () => {
    for (const count of [20, 60]) {
      expect(coverage(dependent(0.6), count, 0, (line) => line.plain)).toBeLessThan(70);
      expect(coverage(loadByTheWeek, count, 0, (line) => line.plain)).toBeLessThan(75);
    }
  });
});

describe('the wear rate of a simulated chain', () => {
  const wearDay = (day: number, elongation: number, more: Partial<WearDay> = {}): WearDay => ({
    date: dateOfDayNumber(FIRST_DAY + day),
    dayNumber: FIRST_DAY + day,
    runningHours: undefined,
    elongation,
    flag: 'value',
    segment: 0,
    ...more,
  });

  it('holds the true rate where the heat correction is off by some per cent over a warming season', () => {
    let held = 0;
    let narrow = 0;
    for (let series = 0; series < SERIES; series++) {
      const noise = seededNoise(31 * series + 5);
      const season = 2 * Math.PI * noise.even();
      const off = 0.05 * noise.normal();
      const days = hangingTogether(60, 0.4, noise).map((scatter, day) => {
        const heat = 1.2e-4 * Math.sin(season + (2 * Math.PI * day) / 365);
        return wearDay(day, 8e-6 * day + 2e-6 * scatter + off * heat, { heat });
      });
      const { perDay } = wearSlope(days, 0.9)!;
      if (perDay.low <= 8e-6 && 8e-6 <= perDay.high) held++;
      const unaware = wearSlope(
        days.map((day) => wearDay(day.dayNumber - FIRST_DAY, day.elongation)),
        0.9,
      )!.perDay;
      if (unaware.low <= 8e-6 && 8e-6 <= unaware.high) narrow++;
    }
    expectWithin((100 * held) / SERIES, 85, 95);
    expect((100 * narrow) / SERIES).toBeLessThan(75);
  });

  it('holds the true rate per running hour where the shifts change', () => {
    let held = 0;
    for (let series = 0; series < SERIES; series++) {
      const noise = seededNoise(17 * series + 3);
      let hours = 1000;
      const days = hangingTogether(60, 0.5, noise).map((scatter, day) => {
        hours += (day < 30 ? 8 : 16) + noise.even();
        return wearDay(day, 5e-7 * hours + 4e-6 * scatter, { runningHours: hours });
      });
      const { perRunningHour } = wearSlope(days, 0.9)!;
      if (perRunningHour!.low <= 5e-7 && 5e-7 <= perRunningHour!.high) held++;
    }
    expectWithin((100 * held) / SERIES, 85, 95);
  });

  it.each([0, 0.5, 0.8])('is not said to run away while it goes on as before (days hang together by %d)', (correlation) => {
    let seen = 0;
    for (let series = 0; series < SERIES; series++) {
      const days = hangingTogether(118, correlation, seededNoise(series)).map((scatter, day) =>
        wearDay(day, 8e-6 * day + 1.6e-4 * scatter),
      );
      const compared = wearFast(days);
      if ('is' in compared && compared.is) seen++;
    }
    expect((100 * seen) / SERIES).toBeLessThan(5);
  });

  it.each([0, 0.6])('gives early and late stroke-out dates that hold the true day (days hang together by %d)', (correlation) => {
    let held = 0;
    let told = 0;
    for (let series = 0; series < SERIES; series++) {
      const noise = seededNoise(101 * series + 9);
      const perDay = 4e-6 + 8e-6 * noise.even();
      const scatters = hangingTogether(60, correlation, noise).map((scatter) => 1.2e-5 * scatter);
      const days = scatters.map((scatter, day) => wearDay(day, perDay * day + scatter));
      const trend = wearTrend(days);
      const last = days[days.length - 1]!;
      // n·p = 243 840 mm and g = 2: the carriage moves by half of what the chain gains.
      const positionMm = 100 + (243_840 * last.elongation) / 2;
      const dates = forecast({
        asOf: last.date,
        trend,
        chain: { nominalMm: 243_840, stiffnessN: undefined, wearLimitPct: 2, elongation: last.elongation },
        takeups: [{ gain: 2, springRateNPerMm: 36 }],
        takeup: 0,
        stroke: { strokeMm: 230, positionMm, breathingMm: 0, heatToComeMm: 0, seasonalMm: 0 },
        springs: {
          compressionMm: { left: 70, right: 70 },
          slackCompressionMm: 17,
          carriageForceN: 2520,
          turnFriction: 0,
          minTensionN: undefined,
        },
      });
      if (dates.strokeOut === null) continue;
      told++;
      const trueDay = FIRST_DAY + 130 / ((243_840 / 2) * perDay);
      const { early, late } = dates.strokeOut;
      if (dayNumberOf(early) <= trueDay && (late === null || trueDay < dayNumberOf(late) + 1)) held++;
    }
    expect(told).toBeGreaterThan(0.6 * SERIES);
    expectWithin((100 * held) / told, 85, 96);
  });
});
