import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { linearOf } from '../../../agent/flow/sample/scale.js';

describe('a raw value', () => {
  // The inch is 25.4 mm and the foot 0.3048 m by definition; 32 °F is 0 °C and 212 °F is 100 °C by definition.
  test.each([
    ['mm', 41.25, 41.25],
    ['in', 2, 50.8],
    ['cm', 4, 40],
    ['m', 0.25, 250],
    ['F', 32, 0],
    ['F', 212, 100],
    ['C', 850, 850],
    ['ft/min', 100, 30.48],
    ['m/min', 9, 9],
    ['state', 1, 1],
  ] as const)('in %s of %d is %d in mm, °C or m/min', (unit, raw, value) => {
    const { gain, offset } = linearOf({ unit });
    expect(offset + gain * raw).toBeCloseTo(value, 9);
  });

  test.each([
    ['mA', [4, 20], [0, 230], 12, 115],
    ['V', [0, 10], [-20, 180], 5, 80],
    ['counts', [200, 3800], [0, 180], 2000, 90],
    ['percent', [0, 100], [230, 0], 100, 0],
    ['in', [0, 9], [0, 228.6], 4.5, 114.3],
  ] as const)('in %s with the calibration %j to %j reads %d as %d', (unit, from, to, raw, value) => {
    const { gain, offset } = linearOf({ unit, scale: { from, to } });
    expect(offset + gain * raw).toBeCloseTo(value, 9);
  });

  it('at either point of its calibration reads as that point says', () => {
    const end = fc.double({ min: -1e4, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(end, fc.double({ min: 0.01, max: 1e4, noNaN: true }), end, end, (low, span, toLow, toHigh) => {
        const { gain, offset } = linearOf({ unit: 'V', scale: { from: [low, low + span], to: [toLow, toHigh] } });
        expect(offset + gain * low).toBeCloseTo(toLow, 3);
        expect(offset + gain * (low + span)).toBeCloseTo(toHigh, 3);
      }),
    );
  });
});
