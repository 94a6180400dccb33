import { describe, expect, it, test } from 'vitest';
import { followedSpringMm, marginToSolidMm, shareUsed, sideForceN, usableMarginMm } from '../../../agent/flow/takeup/spring-state.js';
import type { Spring } from '../../../agent/site/site.js';

// S4 [T] EN 13906-1 sample calculation: rate 16.181 N/mm, free 105.8, solid 57.5; clearance of the static case 8.16 mm.
const SAMPLE: Spring = { freeMm: 105.8, rateNPerMm: 16.181, solidMm: 57.5, clearanceMm: 8.16, perSide: 1 };

describe('a spring', () => {
  test.each([
    [88.5, 280],
    [67.5, 620],
  ])('of the sample calculation at %d mm pushes with the published %d N', (length, force) => {
    // Half a unit of the last published figure of the length, 0.05 mm, is 0.8 N.
    expect(Math.abs(sideForceN(SAMPLE, length) - force)).toBeLessThanOrEqual(0.05 * SAMPLE.rateNPerMm);
  });

  it('of the sample calculation at 67.5 mm still stands above its shortest usable length of the static case', () => {
    expect(usableMarginMm(SAMPLE, 67.5)).toBeCloseTo(67.5 - 65.66, 9);
    expect(usableMarginMm({ ...SAMPLE, clearanceMm: 1.5 * 8.16 }, 67.5)).toBeLessThan(0);
  });

  it('with others in parallel pushes with all of them', () => {
    expect(sideForceN({ ...SAMPLE, perSide: 3 }, 88.5)).toBeCloseTo(3 * sideForceN(SAMPLE, 88.5), 9);
  });

  it('longer than free pushes with nothing, and never pulls', () => {
    expect(sideForceN(SAMPLE, 105.8)).toBe(0);
    expect(sideForceN(SAMPLE, 120)).toBe(0);
  });

  it('has used all of its travel when its coils touch, and none when it is free', () => {
    expect([marginToSolidMm(SAMPLE, 57.5), shareUsed(SAMPLE, 57.5)]).toEqual([0, 1]);
    expect(shareUsed(SAMPLE, 105.8)).toBe(0);
    expect(marginToSolidMm(SAMPLE, 50)).toBe(-7.5);
  });

  it('that is followed from the carriage grows longer as the carriage moves out', () => {
    expect(followedSpringMm({ positionMm: 40, springMm: 250 }, 55)).toBe(265);
    expect(followedSpringMm({ positionMm: 40, springMm: 250 }, 22)).toBe(232);
  });
});
