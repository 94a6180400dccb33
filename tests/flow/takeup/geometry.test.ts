import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chainTakenUpMm, strandTensionN } from '../../../agent/flow/takeup/geometry.js';
import { reevingGain } from '../../../agent/site/reeving-gain.js';

const wrap = fc.double({ min: 1, max: 359, noNaN: true });

describe('a move of the carriage', () => {
  it('takes up chain in proportion, inwards as outwards', () => {
    fc.assert(
      fc.property(wrap, fc.double({ min: -300, max: 300, noNaN: true }), (deg, move) => {
        expect(chainTakenUpMm(-move, reevingGain(deg))).toBeCloseTo(-chainTakenUpMm(move, reevingGain(deg)), 9);
      }),
    );
  });
});

describe('the strand tension', () => {
  it('moves by the same work as the carriage: T · g = F where the turn is free', () => {
    fc.assert(
      fc.property(wrap, fc.double({ min: 0, max: 1e5, noNaN: true }), (deg, force) => {
        expect(strandTensionN(force, reevingGain(deg), 0) * reevingGain(deg)).toBeCloseTo(force, 6);
      }),
    );
  });

  it('of the entering strand falls as friction in the turn grows', () => {
    expect(strandTensionN(1000, 2, 0.2)).toBeLessThan(strandTensionN(1000, 2, 0.1));
  });
});
