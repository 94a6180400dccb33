import { describe, expect, it } from 'vitest';
import { forecast, type ForecastInput } from '../../../agent/flow/trend/forecast.js';
import type { WearTrend } from '../../../agent/flow/trend/wear-trend.js';

/** ε 0.4 % on 2026-06-01, wearing 0.001 % a day, 0.0008 to 0.0012: 0.001 % of 240 m at 180° is 1.2 mm of carriage a day. */
const trend: WearTrend = {
  elongationPctPerDay: { value: 0.001, low: 0.0008, high: 0.0012 },
  level: 0.004,
  slope: {
    perDay: { value: 1e-5, low: 8e-6, high: 1.2e-5 },
    perRunningHour: undefined,
    runningHoursPerDay: undefined,
    level: 0.004,
    daysFromCentre: 0,
    centreHalfWidth: 0,
  },
  usedDays: 60,
  from: '2026-04-03',
  to: '2026-06-01',
  provisional: false,
};

const input: ForecastInput = {
  asOf: '2026-06-01',
  trend,
  chain: { nominalMm: 240_000, stiffnessN: undefined, wearLimitPct: 2, elongation: 0.004 },
  takeups: [{ gain: 2, springRateNPerMm: 36 }],
  takeup: 0,
  stroke: { strokeMm: 230, positionMm: 106, breathingMm: 4, heatToComeMm: 1, seasonalMm: 1 },
  springs: {
    compressionMm: { left: 70, right: 65 },
    slackCompressionMm: 17,
    carriageForceN: 2430,
    turnFriction: 0,
    minTensionN: undefined,
  },
};

describe('the stroke-out date', () => {
  it('is when settled position, half the breathing, heat to come and season reach the outer stop', () => {
    // 230 − 106 − 2 − 1 − 1 = 120 mm at 1.2 mm a day
    const dates = forecast(input);
    expect(dates.travelMmPerDay).toBeCloseTo(1.2, 12);
    expect(dates.strokeOut).toEqual({ date: '2026-09-09', early: '2026-08-23', late: '2026-10-04' });
  });

  it('counts the whole breathing for the early date where that is more', () => {
    const stroke = { ...input.stroke, breathingMm: 16, heatToComeMm: 0, seasonalMm: 0 };
    // 116 mm at 1.2 mm a day; early 108 mm at 1.44
    expect(forecast({ ...input, stroke }).strokeOut).toMatchObject({ date: '2026-09-06', early: '2026-08-15' });
  });

  it('comes later where relaxing springs let the chain shrink', () => {
    const stretching = forecast({ ...input, chain: { ...input.chain, stiffnessN: 9e6 } });
    expect(stretching.strokeOut!.date > forecast(input).strokeOut!.date).toBe(true);
  });

  it('comes later with a second take-up on the chain', () => {
    const shared = forecast({ ...input, takeups: [...input.takeups, { gain: 2, springRateNPerMm: 36 }] });
    expect(shared.travelMmPerDay).toBeCloseTo(0.6, 12);
    expect(shared.strokeOut?.date).toBe('2026-12-18');
  });

  it('does not follow the scatter of one day', () => {
    // The chain is read 0.005 % long, which is 6 mm of carriage.
    const scattered = { ...input, chain: { ...input.chain, elongation: 0.00405 }, stroke: { ...input.stroke, positionMm: 112 } };
    expect(forecast(scattered).strokeOut).toEqual(forecast(input).strokeOut);
  });

  it('spreads further where the level itself is unsure', () => {
    const unsure = { ...trend, slope: { ...trend.slope, centreHalfWidth: 2e-4, daysFromCentre: 30 } };
    const [sure, wide] = [forecast(input).strokeOut!, forecast({ ...input, trend: unsure }).strokeOut!];
    expect(wide.date).toBe(sure.date);
    expect(wide.early < sure.early).toBe(true);
    expect(wide.late! > sure.late!).toBe(true);
  });

  it('is the day it got there, and never a day to come, once the carriage stands within its breathing of the stop', () => {
    const stroke = { ...input.stroke, positionMm: 226.5 };
    expect(forecast({ ...input, stroke }).strokeOut).toEqual({ date: '2026-06-01', early: '2026-06-01', late: '2026-06-01' });
    const known = forecast({ ...input, stroke, reachedOn: { strokeOut: '2026-05-20' } });
    expect(known.strokeOut).toEqual({ date: '2026-05-20', early: '2026-05-20', late: '2026-05-20' });
    const untold = forecast({ ...input, stroke, trend: { why: 'too-few-days' }, reachedOn: { strokeOut: '2026-05-20' } });
    expect(untold.strokeOut?.date).toBe('2026-05-20');
  });

  it('is today where only the heat to come is missing to the stop', () => {
    const stroke = { ...input.stroke, positionMm: 200, heatToComeMm: 40 };
    expect(forecast({ ...input, stroke }).strokeOut?.date).toBe('2026-06-01');
  });
});

describe('the day the springs are slack', () => {
  it('goes by the side with the least compression', () => {
    // 65 − 17 = 48 mm at 1.2 mm a day
    expect(forecast(input).springSlack?.date).toBe('2026-07-11');
  });

  it('is the day the tension falls below the least of the chain, where that comes first', () => {
    // 2430 N gives 1215 N in the strand; 1000 N is reached 430 N of carriage force, or 11.9 mm, on.
    const springs = { ...input.springs, minTensionN: 1000 };
    expect(forecast({ ...input, springs }).springSlack?.date).toBe('2026-06-11');
  });

  it('is today where they are slack already', () => {
    const springs = { ...input.springs, compressionMm: { left: 70, right: 12 } };
    expect(forecast({ ...input, springs }).springSlack).toEqual({ date: '2026-06-01', early: '2026-06-01', late: '2026-06-01' });
  });
});

describe('the day the chain is worn', () => {
  it('is when ε reaches the wear limit', () => {
    // 1.6 % at 0.001 % a day
    expect(forecast(input).wearLimit?.date).toBe('2030-10-18');
  });

  it('is today where the chain is past its limit, even with no trend', () => {
    const chain = { ...input.chain, elongation: 0.021 };
    expect(forecast({ ...input, chain, trend: { why: 'interval-covers-zero' } }).wearLimit?.date).toBe('2026-06-01');
  });

  it('is not told from a level that stands on an unexplained step; the stroke-out date is', () => {
    const dates = forecast({ ...input, trend: { ...trend, provisional: true } });
    expect(dates.wearLimit).toBeNull();
    expect(dates.why).toEqual({ wearLimit: 'change-unexplained' });
    expect(dates.strokeOut?.date).toBe('2026-09-09');
  });
});

describe('no date', () => {
  it('without a trend, and the reason for it', () => {
    expect(forecast({ ...input, trend: { why: 'run-in' } })).toEqual({
      travelMmPerDay: null,
      strokeOut: null,
      springSlack: null,
      wearLimit: null,
      why: { strokeOut: 'run-in', springSlack: 'run-in', wearLimit: 'run-in' },
    });
  });

  it('beyond twenty years; a late date beyond them is open-ended', () => {
    const slow = { ...trend, slope: { ...trend.slope, perDay: { value: 2e-7, low: 1e-8, high: 4e-7 } } };
    const dates = forecast({ ...input, trend: slow });
    expect(dates.wearLimit).toBeNull();
    expect(dates.why.wearLimit).toBe('beyond-horizon');
    expect(dates.strokeOut?.late).toBeNull();
    expect(dates.strokeOut?.date).toBe('2040-02-08');
  });

  it('of what is not known', () => {
    const dates = forecast({
      ...input,
      stroke: { ...input.stroke, positionMm: NaN },
      springs: { ...input.springs, compressionMm: { left: NaN, right: 65 } },
    });
    expect(dates.why).toEqual({ strokeOut: 'position-unknown', springSlack: 'springs-unknown' });
  });

  it('for a take-up that is not on the chain', () => {
    expect(() => forecast({ ...input, takeup: 1 })).toThrow(RangeError);
  });
});
