import { describe, expect, it } from 'vitest';
import { Climate } from '../../agent/simulate/climate.js';

const DAY_MS = 86_400_000;
const STILL = { meanC: 10, seasonC: 0, dayC: 0, weatherC: 0 };

function at(climate: Climate, dayStartMs: number, hour: number): number {
  return climate.at(dayStartMs + hour * 3600_000, dayStartMs);
}

describe('the air around a conveyor', () => {
  it('is warmest at 15:00 and coldest at 03:00', () => {
    const climate = new Climate({ ...STILL, dayC: 4 }, 1, 'c');
    const day = Date.UTC(2026, 3, 1);
    expect(at(climate, day, 15)).toBeCloseTo(14, 9);
    expect(at(climate, day, 3)).toBeCloseTo(6, 9);
  });

  it('is warmest at the end of July and coldest half a year later', () => {
    const climate = new Climate({ ...STILL, seasonC: 8 }, 1, 'c');
    expect(at(climate, Date.UTC(2026, 6, 29), 12)).toBeCloseTo(18, 1);
    expect(at(climate, Date.UTC(2027, 0, 28), 0)).toBeCloseTo(2, 1);
  });

  it('has weather of its own that changes over days, not over hours', () => {
    const climate = new Climate({ ...STILL, weatherC: 3 }, 1, 'c');
    const days = Array.from({ length: 200 }, (_, day) => Date.UTC(2026, 0, 1) + day * DAY_MS);
    const values = days.map((day) => at(climate, day, 12));
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - 10) ** 2, 0) / values.length);
    expect(spread).toBeGreaterThan(1.5);
    expect(spread).toBeLessThan(3.5);
    for (const day of days) expect(Math.abs(at(climate, day, 13) - at(climate, day, 12))).toBeLessThan(0.8);
  });
});
