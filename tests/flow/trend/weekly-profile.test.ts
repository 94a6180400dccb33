import { describe, expect, it } from 'vitest';
import { weeklyProfile } from '../../../agent/flow/trend/weekly-profile.js';
import { seededNoise } from './seeded-noise.js';

const days = (count: number) => Array.from({ length: count }, (_, i) => 20_000.5 + i);

describe('the profile of the week', () => {
  it('is seen in a light weekend, and adds up to nothing over the week', () => {
    const noise = seededNoise(1);
    const values = days(35).map((_day, i) => (i % 7 < 5 ? 10 : 3) + noise.normal());
    const profile = weeklyProfile(days(35), values)!;
    const week = profile.slice(0, 7);
    expect(week.reduce((sum, value) => sum + value, 0)).toBeCloseTo(0, 9);
    expect(week[0]).toBeCloseTo(2, 0);
    expect(week[6]).toBeCloseTo(-5, 0);
  });

  it('is not made up from scatter more often than once in a hundred', () => {
    let seen = 0;
    for (let series = 0; series < 500; series++) {
      const noise = seededNoise(series);
      if (weeklyProfile(days(42), days(42).map(noise.normal))) seen++;
    }
    expect(seen).toBeLessThanOrEqual(8);
  });

  it('is not looked for in less than three of each weekday, on one weekday, or in equal values', () => {
    const swing = (_day: number, i: number) => (i % 7 < 5 ? 10 : 3);
    expect(weeklyProfile(days(20), days(20).map(swing))).toBeUndefined();
    expect(weeklyProfile([20_000.5, 20_007.5, 20_014.5], [1, 2, 3])).toBeUndefined();
    expect(weeklyProfile(days(35), new Array<number>(35).fill(4))).toBeUndefined();
  });
});
