import { describe, expect, it, test } from 'vitest';
import { drawInMm, elongationRatio, nominalLengthMm, pitchesOfMove, trackConstantMm } from '../../agent/flow/ledger/closure.js';
import { chainTakenUpMm, strandTensionN } from '../../agent/flow/takeup/geometry.js';
import { reevingGain } from '../../agent/site/reeving-gain.js';
import { testSite } from '../flow/way/test-site.js';

// Tags: [P] read in a published page, [C] common practice of the trade, no published source, [own] worked out here.

const MM_PER_IN = 25.4;
const TURN = reevingGain(180);

describe('a take-up that turns the chain by 180°', () => {
  it('moves by half of what the chain changes in length', () => {
    // G1 [P] Centre distance of two equal wheels: C = (L − πD)/2, so that dC/dL = 1/2.
    expect(TURN).toBe(2);
    const centre = (lengthMm: number): number => (lengthMm - Math.PI * 300) / 2;
    expect(centre(5000 + 18) - centre(5000)).toBeCloseTo(18 / TURN, 9);
  });

  it('takes up 18 in of chain with 9 in of travel', () => {
    // G2 [C]
    expect(chainTakenUpMm(9 * MM_PER_IN, TURN)).toBeCloseTo(18 * MM_PER_IN, 9);
  });

  it('carries half of the carriage force in each strand', () => {
    // [own] Two strands share the force of the carriage where the turn is free of friction.
    expect(strandTensionN(1000, TURN, 0)).toBe(500);
  });
});

describe('other turns', () => {
  // [own] g = 2·sin(θ/2): 120° √3, 90° √2, 60° 1.
  test.each([
    [120, Math.sqrt(3)],
    [90, Math.SQRT2],
    [60, 1],
  ])('of %d° have the gain %d', (wrap, gain) => {
    expect(reevingGain(wrap)).toBeCloseTo(gain, 12);
  });

  test.each([0, 0.1, 0.35])('with a friction of %d balance the carriage with both strands', (friction) => {
    // [own] The leaving strand carries (1 + c) times the entering one; along the travel both pull with sin(θ/2).
    for (const wrap of [180, 120, 90, 60]) {
      const entering = strandTensionN(1000, reevingGain(wrap), friction);
      expect((entering + (1 + friction) * entering) * Math.sin((wrap * Math.PI) / 360)).toBeCloseTo(1000, 9);
    }
  });
});

describe('800 ft of 3 in pitch chain', () => {
  // G2 [C] 3200 joints; 0.010 in of wear in each adds 32 in of chain and moves a 180° carriage by 16 in.
  const { chain } = testSite({ chain: { pitch_mm: 3 * MM_PER_IN, pitches: (800 * 12) / 3 } }).conveyors[0]!;
  const length = nominalLengthMm(chain.pitches, chain);

  it('has 3200 joints', () => {
    expect(chain.pitches).toBe(3200);
    expect(length).toBeCloseTo(800 * 12 * MM_PER_IN, 6);
  });

  it('grows by 32 in with 0.010 in of wear a joint, which moves the carriage out by 16 in', () => {
    const track = trackConstantMm(length, 0, TURN * 40, 0, 0);
    const carriage = 40 + 16 * MM_PER_IN;
    const elongation = elongationRatio(length, track, TURN * carriage, 0, 0);
    expect(elongation * chain.pitchMm).toBeCloseTo(0.01 * MM_PER_IN, 9);
    expect(elongation * length).toBeCloseTo(32 * MM_PER_IN, 6);
    // ε = 0.3333 %
    expect(elongation * 100).toBeCloseTo(0.3333, 4);
  });

  it('draws the carriage in by 6 in when 12 in of unworn chain come out', () => {
    expect(drawInMm(4, chain, 0, TURN)).toBeCloseTo(6 * MM_PER_IN, 9);
    expect(pitchesOfMove(-6 * MM_PER_IN, chain, 0, 1 / TURN)).toBeCloseTo(4, 9);
  });
});
