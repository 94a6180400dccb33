import { describe, expect, it } from 'vitest';
import { NO_FORECAST_SENTENCES } from '../../../agent/flow/trend/no-forecast.js';
import { wearTrend, type NoTrend, type WearTrend } from '../../../agent/flow/trend/wear-trend.js';
import { FIRST_DAY, wearDay, wearDays } from './simulated-days.js';

function told(trend: WearTrend | NoTrend): WearTrend {
  if ('why' in trend) throw new Error(`no trend: ${trend.why}`);
  return trend;
}

describe('the trend of a chain that wears 0.001 % a day', () => {
  it('is told with its interval, its level today and the days it rests on', () => {
    const trend = told(wearTrend(wearDays(0, 40, (day) => 0.1 + 0.001 * day)));
    const { value, low, high } = trend.elongationPctPerDay;
    expect(value).toBeCloseTo(0.001, 4);
    expect(low).toBeLessThan(0.001);
    expect(high).toBeGreaterThan(0.001);
    expect(trend.level).toBeCloseTo(0.00139, 5);
    expect(trend).toMatchObject({ usedDays: 40, from: '2026-01-05', to: '2026-02-13', provisional: false });
  });

  it('rests on the last 60 days, not on how it wore before', () => {
    const trend = told(wearTrend(wearDays(0, 160, (day) => (day < 100 ? 0.005 * day : 0.5 + 0.001 * (day - 100)))));
    expect(trend.elongationPctPerDay.value).toBeCloseTo(0.001, 4);
    expect(trend.usedDays).toBe(60);
  });

  it('looks further back where 60 days do not tell it from none', () => {
    const slow = wearDays(0, 240, (day) => 0.00002 * day, {}, 0.002);
    const trend = told(wearTrend(slow));
    expect(trend.usedDays).toBeGreaterThan(60);
    expect(trend.elongationPctPerDay.value).toBeCloseTo(0.00002, 5);
  });

  it('is not moved by a day that was misread', () => {
    const days = wearDays(0, 40, (day) => 0.1 + 0.001 * day);
    const misread = days.map((day, i) => (i === 39 ? { ...day, elongation: 0.01 } : day));
    const trend = told(wearTrend(misread));
    expect(trend.elongationPctPerDay.value).toBeCloseTo(0.001, 4);
    expect(trend.level).toBeCloseTo(0.00139, 5);
  });

  it('leaves out bounds and days with no value', () => {
    const days = wearDays(0, 40, (day) => 0.1 + 0.001 * day).map((day, i) => {
      if (i % 5 === 0) return { ...day, flag: 'bound' as const, elongation: 0 };
      return i % 7 === 0 ? { ...day, elongation: NaN } : day;
    });
    expect(told(wearTrend(days)).elongationPctPerDay.value).toBeCloseTo(0.001, 4);
  });
});

describe('wear against running hours', () => {
  /** Wears 0.0001 % an hour, 8 hours a day at first and 16 over the last weeks. */
  const shifts = (count: number, change: number) => {
    let hours = 500;
    return Array.from({ length: count }, (_, day) => {
      hours += day < change ? 8 : 16;
      return wearDay(day, 0.0001 * hours + (day % 3) * 1e-5, { runningHours: hours });
    });
  };

  it('is told per day at the recent running, so that a second shift doubles it at once', () => {
    const trend = told(wearTrend(shifts(60, 30)));
    expect(trend.slope.runningHoursPerDay).toBeCloseTo(16, 9);
    expect(trend.elongationPctPerDay.value).toBeCloseTo(0.0016, 5);
  });

  it('falls back on calendar time where a day has no hours, or they went backwards', () => {
    const days = shifts(60, 60);
    for (const broken of [undefined, 0]) {
      const trend = told(wearTrend(days.map((day, i) => (i === 30 ? { ...day, runningHours: broken } : day))));
      expect(trend.slope.runningHoursPerDay).toBeUndefined();
      expect(trend.elongationPctPerDay.value).toBeCloseTo(0.0008, 5);
    }
  });

  it('is not told where the conveyor did not run', () => {
    expect(wearTrend(wearDays(0, 20, (day) => 0.001 * day, { runningHours: 700 }))).toEqual({ why: 'not-running' });
  });
});

describe('no trend', () => {
  it('without a settled value', () => {
    expect(wearTrend([])).toEqual({ why: 'no-settled-values' });
    expect(wearTrend(wearDays(0, 20, () => 0, { flag: 'bound' }))).toEqual({ why: 'no-settled-values' });
  });

  it('from six daily values, but from seven', () => {
    const days = wearDays(0, 7, (day) => 0.01 * day);
    expect(wearTrend(days.slice(0, 6))).toEqual({ why: 'too-few-days' });
    expect(told(wearTrend(days)).usedDays).toBe(7);
  });

  it('where the interval covers zero; the slope is still shown', () => {
    const none = wearTrend(wearDays(0, 60, () => 0.4));
    expect(none).toMatchObject({ why: 'interval-covers-zero' });
    expect(none.elongationPctPerDay?.low).toBeLessThan(0);
    expect(none.elongationPctPerDay?.high).toBeGreaterThan(0);
  });

  it('where the chain seems to grow shorter, however it wore before', () => {
    const days = wearDays(0, 200, (day) => (day < 140 ? 0.002 * day : 0.28 - 0.001 * (day - 140)));
    expect(wearTrend(days)).toMatchObject({ why: 'elongation-falling' });
  });

  it('over an unexplained step, and again from seven days after it on, as provisional', () => {
    const before = wearDays(0, 30, (day) => 0.001 * day);
    const after = (count: number) => wearDays(30, count, (day) => 0.05 + 0.001 * day, { segment: 1, flag: 'provisional' });
    expect(wearTrend([...before, ...after(3)])).toEqual({ why: 'change-unexplained' });
    const trend = told(wearTrend([...before, ...after(20)]));
    expect(trend).toMatchObject({ usedDays: 20, provisional: true });
    expect(trend.elongationPctPerDay.value).toBeCloseTo(0.001, 4);
  });

  it('from before a step on the last day, even where that day is only a bound', () => {
    const before = wearDays(0, 30, (day) => 0.001 * day);
    expect(wearTrend([...before, wearDay(30, 0, { segment: 1, flag: 'bound' })])).toEqual({ why: 'change-unexplained' });
  });

  it('has a sentence for each reason', () => {
    for (const sentence of Object.values(NO_FORECAST_SENTENCES)) expect(sentence).toMatch(/^[A-Z].+\.$/);
  });
});

describe('the run-in of a new chain', () => {
  const newChainDay = FIRST_DAY;

  it('leaves out the first fortnight', () => {
    const days = wearDays(0, 40, (day) => (day < 14 ? 0.006 * day : 0.084 + 0.001 * (day - 14)));
    expect(told(wearTrend(days, { newChainDay })).elongationPctPerDay.value).toBeCloseTo(0.001, 4);
    expect(told(wearTrend(days, { newChainDay })).usedDays).toBe(26);
  });

  it('gives no trend before a week after it', () => {
    expect(
      wearTrend(
        wearDays(0, 20, (day) => 0.006 * day),
        { newChainDay },
      ),
    ).toEqual({ why: 'run-in' });
    expect(
      told(
        wearTrend(
          wearDays(0, 21, (day) => 0.006 * day),
          { newChainDay },
        ),
      ).usedDays,
    ).toBe(7);
  });

  it('lasts on while the early slope stands far above what follows', () => {
    const days = wearDays(0, 75, (day) => (day < 35 ? 0.006 * day : 0.21 + 0.001 * (day - 35)));
    const trend = told(wearTrend(days, { newChainDay }));
    expect(trend.from >= '2026-02-02').toBe(true);
    expect(trend.elongationPctPerDay.value).toBeCloseTo(0.001, 4);
  });

  it('is over after a fortnight where the chain wears evenly', () => {
    const trend = told(
      wearTrend(
        wearDays(0, 60, (day) => 0.001 * day),
        { newChainDay },
      ),
    );
    expect(trend.from).toBe('2026-01-19');
  });
});
