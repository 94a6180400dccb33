import type { WearDay } from '../../../agent/flow/trend/wear-day.js';
import { dateOfDayNumber } from '../../../agent/units/local-day.js';
import { seededNoise } from './seeded-noise.js';

/** 2026-01-05. */
export const FIRST_DAY = 20_458.5;

/** One day of a chain; ε in per cent, for reading. */
export function wearDay(day: number, elongationPct: number, more: Partial<WearDay> = {}): WearDay {
  return {
    date: dateOfDayNumber(FIRST_DAY + day),
    dayNumber: FIRST_DAY + day,
    runningHours: undefined,
    elongation: elongationPct / 100,
    flag: 'value',
    segment: 0,
    ...more,
  };
}

/** Days from `from` on with ε in per cent after a law of the day, and a scatter of 0.0002 % unless said otherwise. */
export function wearDays(from: number, count: number, pctOn: (day: number) => number, more: Partial<WearDay> = {}, scatterPct = 0.0002) {
  const noise = seededNoise(from * 1009 + count);
  return Array.from({ length: count }, (_, i) => wearDay(from + i, pctOn(from + i) + scatterPct * noise.normal(), more));
}
