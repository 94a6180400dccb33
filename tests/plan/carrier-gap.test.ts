import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { carrierChange, carriersOnChain, longestKeepingCarriersMm } from '../../agent/plan/carrier-gap.js';

describe('carriers beside a piece of chain that is taken out', () => {
  it('all stay where the gap has it to give, down to the least spacing itself', () => {
    expect(carrierChange(152.4, 152.4, { spacingMm: 609.6, minSpacingMm: 457.2 })).toEqual({
      off: 0,
      gapsJoined: 1,
      gapLeftMm: 609.6 - 152.4,
      placesKeepingAll: 1,
    });
  });

  it('come off, as few as will do, where it has not', () => {
    const change = carrierChange(304.8, 152.4, { spacingMm: 609.6, minSpacingMm: 457.2 });
    expect(change).toMatchObject({ off: 1, gapsJoined: 2, placesKeepingAll: 2 });
    expect(change.gapLeftMm).toBeCloseTo(914.4, 9);
  });

  it('come off with every removal where no gap has a repeat to give', () => {
    expect(carrierChange(152.4, 152.4, { spacingMm: 457.2, minSpacingMm: 457.2 })).toMatchObject({ off: 1, placesKeepingAll: null });
    expect(longestKeepingCarriersMm(152.4, { spacingMm: 600, minSpacingMm: 500 })).toBe(0);
  });

  it('never hang closer than the least spacing, and none comes off without need', () => {
    const spacing = fc
      .tuple(fc.integer({ min: 50, max: 3000 }), fc.double({ min: 0.1, max: 1, noNaN: true }))
      .map(([spacingMm, share]) => ({ spacingMm, minSpacingMm: spacingMm * share }));
    fc.assert(
      fc.property(
        fc.double({ min: 10, max: 6000, noNaN: true }),
        fc.double({ min: 10, max: 400, noNaN: true }),
        spacing,
        (length, repeat, s) => {
          const { off, gapsJoined, gapLeftMm } = carrierChange(length, repeat, s);
          expect(gapLeftMm).toBeGreaterThanOrEqual(s.minSpacingMm - 1e-5);
          expect(gapLeftMm).toBeCloseTo(gapsJoined * s.spacingMm - length, 9);
          expect(off).toBe(gapsJoined - 1);
          if (off > 0) expect(off * s.spacingMm - length).toBeLessThan(s.minSpacingMm);
          const keeping = longestKeepingCarriersMm(repeat, s);
          if (keeping > 0) expect(carrierChange(keeping, repeat, s).off).toBe(0);
        },
      ),
    );
  });

  it('are as many as the chain is long', () => {
    expect(carriersOnChain(243_840, { spacingMm: 609.6, minSpacingMm: 457.2 })).toBe(400);
  });
});
