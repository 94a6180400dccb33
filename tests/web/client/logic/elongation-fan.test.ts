import { describe, expect, it } from 'vitest';
import { dayNumberOf } from '../../../../agent/units/local-day.js';
import { elongationFan, forecastMarks, forecastWords } from '../../../../web/client/logic/elongation-fan.js';
import { nowOf } from '../../a-takeup.js';

const TREND = nowOf().trend;
const LAST = { x: dayNumberOf('2026-03-02'), y: 0.4 };

describe('the forecast of elongation', () => {
  it('is a fan from the last settled day, as steep as the trend and its interval', () => {
    const fan = elongationFan(LAST, TREND);
    expect(fan?.middle[0]).toEqual(LAST);
    const days = (fan?.middle[1].x ?? 0) - LAST.x;
    expect([fan?.low, fan?.middle, fan?.high].map((line) => ((line?.[1].y ?? 0) - LAST.y) / days)).toEqual(
      [0.00041, 0.00052, 0.00063].map((slope) => expect.closeTo(slope, 9) as number),
    );
  });

  it('reaches past the latest of its dates', () => {
    expect(elongationFan(LAST, TREND)?.middle[1].x).toBeGreaterThan(dayNumberOf('2026-11-20'));
  });

  it('is none without a slope or a settled day', () => {
    expect(elongationFan(undefined, TREND)).toBeUndefined();
    expect(elongationFan(LAST, { ...TREND, elongationPctPerDay: null })).toBeUndefined();
  });

  it('has its dates in words, the earliest first', () => {
    const trend = { ...TREND, springSlack: { date: '2026-08-01', early: '2026-07-01', late: null } };
    expect(forecastMarks(trend).map(forecastWords)).toEqual([
      'springs slack about 2026-08-01 (2026-07-01 at the earliest, no latest date)',
      'stroke used up about 2026-09-12 (2026-07-30 to 2026-11-20)',
    ]);
  });
});
