import { describe, expect, it } from 'vitest';
import { compareWear, wearFast } from '../../../agent/flow/trend/wear-fast.js';
import { wearDay, wearDays } from './simulated-days.js';

/** Wears 0.001 % a day, and from day 100 on so many times as fast. */
const faster = (times: number) => wearDays(0, 128, (day) => (day < 100 ? 0.001 * day : 0.1 + 0.001 * times * (day - 100)));

describe('wear that runs away', () => {
  it('is seen where the last 28 days wear three times as fast as the 90 before', () => {
    const compared = wearFast(faster(3));
    expect(compared).toMatchObject({ is: true, per: 'day' });
  });

  it('is not seen where they wear as before, or within the 1.5 times that a site allows', () => {
    expect(wearFast(faster(1))).toMatchObject({ is: false });
    expect(wearFast(faster(1.4))).toMatchObject({ is: false });
    expect(wearFast(faster(3), 4)).toMatchObject({ is: false });
  });

  it('is not seen in a second shift, which wears no more an hour', () => {
    let hours = 0;
    const days = Array.from({ length: 128 }, (_, day) => {
      hours += day < 100 ? 8 : 20;
      return wearDay(day, 0.0001 * hours + (day % 3) * 1e-5, { runningHours: hours });
    });
    expect(wearFast(days)).toMatchObject({ is: false, per: 'running-hour' });
    expect(wearFast(days.map((day) => ({ ...day, runningHours: undefined })))).toMatchObject({ is: true, per: 'day' });
  });

  it('cannot be told from too few days, or over an unexplained step', () => {
    expect(wearFast([])).toEqual({ why: 'no-settled-values' });
    expect(wearFast(faster(3).slice(95))).toEqual({ why: 'too-few-days' });
    expect(wearFast(faster(3).map((day, i) => ({ ...day, segment: i < 95 ? 0 : 1 })))).toEqual({ why: 'change-unexplained' });
    expect(wearFast(faster(3).map((day) => ({ ...day, runningHours: 5 })))).toEqual({ why: 'not-running' });
  });

  it('is measured against the most that a slope before may have been, where that covers zero', () => {
    const last = { value: 3, low: 2, high: 4 };
    expect(compareWear(last, { value: 0.1, low: -1, high: 1.2 }, 1.5, 'day')).toMatchObject({
      is: true,
      limit: expect.closeTo(1.8) as number,
    });
    expect(compareWear(last, { value: 0.1, low: -1, high: 1.4 }, 1.5, 'day')).toMatchObject({ is: false });
    expect(compareWear(last, { value: -2, low: -3, high: -1 }, 1.5, 'day')).toMatchObject({ is: true, limit: 0 });
  });
});
