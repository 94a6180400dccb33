import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crossing } from '../../agent/flow/trend/crossing.js';
import { exactKendallP, mannKendall } from '../../agent/flow/trend/kendall.js';
import { theilSen } from '../../agent/flow/trend/theil-sen.js';
import { widenedSlope } from '../../agent/flow/trend/widened-slope.js';

const value = fc.integer({ min: -500, max: 500 }).map((whole) => whole / 8);
const points = fc.array(fc.tuple(fc.integer({ min: 1, max: 4 }), value), { minLength: 7, maxLength: 40 }).map((steps) => {
  let day = 20_000.5;
  return steps.map(([step, y]) => ({ day: (day += step), x: day, y }));
});

describe('the line through daily values', () => {
  it('tilts with the values, and its interval with it', () => {
    fc.assert(
      fc.property(points, fc.integer({ min: -8, max: 8 }), (days, tilt) => {
        const line = widenedSlope(days, 0.9)!;
        const tilted = widenedSlope(
          days.map((point) => ({ ...point, y: point.y + tilt * (point.x - 20_000.5) })),
          0.9,
        )!;
        expect(tilted.slope).toBeCloseTo(line.slope + tilt, 8);
        expect(line.low).toBeLessThanOrEqual(line.slope);
        expect(line.high).toBeGreaterThanOrEqual(line.slope);
      }),
    );
  });

  it('does not depend on the unit, nor on where days are counted from', () => {
    fc.assert(
      fc.property(points, (days) => {
        const line = widenedSlope(days, 0.9)!;
        const moved = widenedSlope(
          days.map(({ day, x, y }) => ({ day: day + 7, x: x - 20_000, y: 1000 + 4 * y })),
          0.9,
        )!;
        expect(moved.low).toBeCloseTo(4 * line.low, 7);
        expect(moved.high).toBeCloseTo(4 * line.high, 7);
        expect(moved.atLast).toBeCloseTo(1000 + 4 * line.atLast, 6);
      }),
    );
  });

  it('widens with the confidence asked for', () => {
    fc.assert(
      fc.property(points, (days) => {
        const [narrow, wide] = [widenedSlope(days, 0.8)!, widenedSlope(days, 0.95)!];
        expect(wide.centreHalfWidth).toBeGreaterThanOrEqual(narrow.centreHalfWidth);
        expect(
          theilSen(
            [...days.keys()],
            days.map((day) => day.y),
            0.95,
          )!.low,
        ).toBeLessThanOrEqual(
          theilSen(
            [...days.keys()],
            days.map((day) => day.y),
            0.8,
          )!.low,
        );
      }),
    );
  });
});

it('the two tails of an exact p and the middle make up all orders', () => {
  fc.assert(
    fc.property(fc.uniqueArray(value, { minLength: 2, maxLength: 12 }), (values) => {
      const { s } = mannKendall(values);
      const n = values.length;
      const pairs = (n * (n - 1)) / 2;
      expect(exactKendallP(n, pairs)).toBeCloseTo(1 / Array.from({ length: n }, (_, i) => i + 1).reduce((a, b) => a * b), 12);
      expect(exactKendallP(n, s)).toBeCloseTo(exactKendallP(n, -s), 12);
      if (s !== 0) expect(exactKendallP(n, s)).toBeLessThanOrEqual(0.5 + 1e-12);
    }),
  );
});

it('a forecast is early before it is due, and due before it is late', () => {
  const part = fc.double({ min: 0.01, max: 1, noNaN: true });
  fc.assert(
    fc.property(part, part, part, part, fc.double({ min: 0, max: 200, noNaN: true }), part, (rate, below, above, level, centre, gain) => {
      const slope = {
        perDay: { value: rate * 1e-5, low: rate * below * 1e-5, high: rate * (1 + above) * 1e-5 },
        perRunningHour: undefined,
        runningHoursPerDay: undefined,
        level: 0,
        daysFromCentre: centre,
        centreHalfWidth: level * 1e-4,
      };
      const when = crossing(slope, gain * 1e-2);
      if (when === undefined) return;
      expect(when.early).toBeGreaterThanOrEqual(0);
      expect(when.early).toBeLessThanOrEqual(when.days);
      if (when.late !== undefined) expect(when.late).toBeGreaterThanOrEqual(when.days);
    }),
  );
});
