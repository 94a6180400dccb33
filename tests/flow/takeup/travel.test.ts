import { describe, expect, it } from 'vitest';
import { travelPerWear } from '../../../agent/flow/takeup/travel.js';

const NOMINAL_MM = 243_840;
const one = { gain: 2, springRateNPerMm: 36 };

describe('carriage travel per mm of wear', () => {
  it('is half of it at 180°, where the chain does not stretch', () => {
    expect(travelPerWear(NOMINAL_MM, undefined, [one])).toEqual([0.5]);
  });

  it('is less where relaxing springs let the chain shrink: 1/(g + n·p·K/(EA·g))', () => {
    const [travel] = travelPerWear(NOMINAL_MM, 9e6, [one]);
    expect(travel).toBeCloseTo(1 / (2 + (NOMINAL_MM * 36) / (9e6 * 2)), 12);
    expect(travel).toBeLessThan(0.5);
  });

  it('closes the path with several take-ups, the softer springs giving way more', () => {
    const other = { gain: Math.sqrt(3), springRateNPerMm: 90 };
    const [a, b] = travelPerWear(NOMINAL_MM, 9e6, [one, other]) as [number, number];
    // The strand tension falls alike in both, and the chain shrinks by dT·n·p/EA.
    const fallA = (36 * a) / 2;
    const fallB = (90 * b) / Math.sqrt(3);
    expect(fallA).toBeCloseTo(fallB, 12);
    expect(2 * a + Math.sqrt(3) * b + (fallA * NOMINAL_MM) / 9e6).toBeCloseTo(1, 12);
    expect(a).toBeGreaterThan(b);
  });

  it('halves with a second take-up like the first', () => {
    expect(travelPerWear(NOMINAL_MM, undefined, [one, one])).toEqual([0.25, 0.25]);
  });
});
