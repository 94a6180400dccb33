import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  drawInMm,
  elasticMm,
  elongationRatio,
  nominalLengthMm,
  pitchesOfMove,
  thermalMm,
  trackConstantMm,
} from '../../../agent/flow/ledger/closure.js';
import { carriageMm } from '../way/chain-model.js';
import { testSite } from '../way/test-site.js';

const { chain } = testSite().conveyors[0]!;
const mm = fc.double({ min: -500, max: 500, noNaN: true });
const worn = fc.double({ min: -0.005, max: 0.04, noNaN: true });
const pitches = fc.integer({ min: 100, max: 9000 });
const gain = fc.constantFrom(2, Math.sqrt(3), Math.SQRT2, 1);

describe('the closure of the path', () => {
  it('gives back the elongation that its constant was fixed with', () => {
    fc.assert(
      fc.property(pitches, worn, mm, mm, mm, (n, elongation, takenUp, thermal, elastic) => {
        const nominal = nominalLengthMm(n, chain);
        const track = trackConstantMm(nominal, elongation, takenUp, thermal, elastic);
        expect(elongationRatio(nominal, track, takenUp, thermal, elastic)).toBeCloseTo(elongation, 9);
      }),
    );
  });

  it('is the one that the carriage of the tests stands by', () => {
    fc.assert(
      fc.property(worn, worn, gain, fc.integer({ min: 3000, max: 3200 }), (before, now, g, n) => {
        const model = { pitchMm: chain.pitchMm, gain: g, reference: { pitches: 3200, elongation: before, positionMm: 40 } };
        const track = trackConstantMm(nominalLengthMm(3200, chain), before, g * 40, 0, 0);
        const x = carriageMm(model, { pitches: n, elongation: now });
        fc.pre(Math.abs(x) < 4999);
        expect(elongationRatio(nominalLengthMm(n, chain), track, g * x, 0, 0)).toBeCloseTo(now, 9);
      }),
    );
  });
});

describe('a length taken out', () => {
  it('draws the carriage in by what it measures, and its move counts its pitches', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), worn, gain, (k, elongation, g) => {
        const drawn = drawInMm(k, chain, elongation, g);
        expect(drawn).toBeCloseTo((k * chain.pitchMm * (1 + elongation)) / g, 9);
        expect(pitchesOfMove(-drawn, chain, elongation, 1 / g)).toBeCloseTo(k, 9);
        expect(pitchesOfMove(drawn, chain, elongation, 1 / g)).toBeCloseTo(-k, 9);
      }),
    );
  });
});

describe('what stretches the chain', () => {
  it('is nothing where its stiffness is not given, and in proportion to the tension where it is', () => {
    expect(elasticMm(chain, 243_840, 3000, 1000)).toBe(0);
    const stiff = testSite({ chain: { stiffness_kn: 9000 } }).conveyors[0]!.chain;
    // [own] 2000 N on 243.84 m of 9000 kN: 54.2 mm.
    expect(elasticMm(stiff, 243_840, 3000, 1000)).toBeCloseTo((2000 * 243_840) / 9e6, 9);
    expect(elasticMm(stiff, 243_840, 1000, 1000)).toBe(0);
  });

  it('is no heat where no temperature is configured', () => {
    expect(thermalMm(testSite().conveyors[0]!, 243_840, 0, 0)).toBe(0);
  });
});
