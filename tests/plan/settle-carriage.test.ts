import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { settleCarriage } from '../../agent/plan/settle-carriage.js';
import { carriageForceN, forceForTensionN, referenceTensionN, springsAsSet } from '../../agent/plan/side-springs.js';
import { strandTensionN } from '../../agent/flow/takeup/geometry.js';
import { plant, standing, wrap } from './plants.js';

const LEFT_ALONE = { left: 0, right: 0 };

describe('the carriage after work on the chain or the nuts', () => {
  it('is drawn in by half of what is taken out at 180°, and the springs with it', () => {
    const here = plant();
    const { sides } = standing(here, { positionMm: 200, elongationPct: 0, springLeftMm: 290, springRightMm: 288 });
    const rest = settleCarriage(here.takeup, sides, { chainOutMm: 152.4, nutInMm: LEFT_ALONE, giveMmPerN: 0 });
    expect(rest.moveMm).toBeCloseTo(-76.2, 9);
    expect(rest.springMm.left).toBeCloseTo(213.8, 9);
    expect(rest.springMm.right).toBeCloseTo(211.8, 9);
  });

  it('stays where it is when nuts are turned on a chain that does not stretch', () => {
    const here = plant();
    const { sides } = standing(here, { positionMm: 200, elongationPct: 0, springLeftMm: 260, springRightMm: 260 });
    const rest = settleCarriage(here.takeup, sides, { chainOutMm: 0, nutInMm: { left: 6, right: 6 }, giveMmPerN: 0 });
    expect(rest.moveMm).toBe(0);
    // Two springs of 18 N/mm pushed together by 66 mm: 2376 N, half in each strand.
    expect(rest.tensionN).toBeCloseTo(1188, 9);
  });

  it('follows the stretch of the chain: what tension adds is taken up', () => {
    // 243.84 m of chain of 9000 kN, 36 N/mm of springs, g = 2: by hand Δx = e·S/(2g + e·K) with e = n·p/EA and S = K·6 mm.
    const here = plant();
    const { sides } = standing(here, { positionMm: 200, elongationPct: 0, springLeftMm: 260, springRightMm: 260 });
    const giveMmPerN = 243_840 / 9_000_000;
    const rest = settleCarriage(here.takeup, sides, { chainOutMm: 0, nutInMm: { left: 6, right: 6 }, giveMmPerN });
    const byHand = (giveMmPerN * 0.5 * 36 * 6) / (2 + giveMmPerN * 0.5 * 36);
    expect(rest.moveMm).toBeCloseTo(byHand, 9);
    expect(rest.springMm.left).toBeCloseTo(260 - 6 + byHand, 9);
  });

  it('closes the path and balances the springs whatever is done, idle springs included', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 160, max: 340, noNaN: true }),
        fc.double({ min: 160, max: 340, noNaN: true }),
        fc.double({ min: 0, max: 300, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.constantFrom(0, 0.001, 0.03, 1),
        fc.constantFrom(60, 90, 120, 180),
        (springLeftMm, springRightMm, chainOutMm, nut, giveMmPerN, deg) => {
          const here = plant({ takeup: { ...wrap(deg), turnFriction: 0.1 } });
          const { sides } = standing(here, { positionMm: 200, elongationPct: 0, springLeftMm, springRightMm });
          const { gain, turnFriction } = here.takeup;
          const before = strandTensionN(carriageForceN(sides), gain, turnFriction);
          const rest = settleCarriage(here.takeup, sides, { chainOutMm, nutInMm: { left: nut, right: -nut }, giveMmPerN });
          expect(gain * rest.moveMm).toBeCloseTo(-chainOutMm + giveMmPerN * (rest.tensionN - before), 6);
          expect(rest.tensionN).toBeCloseTo(strandTensionN(rest.forceN.left + rest.forceN.right, gain, turnFriction), 9);
          expect(rest.springMm.left).toBeCloseTo(springLeftMm + rest.moveMm - nut, 9);
        },
      ),
    );
  });
});

describe('the springs as the site has them set', () => {
  it('follow the carriage, and give the reference tension at the reference', () => {
    const { takeup } = plant();
    // Set at 40 mm with 250 mm of 320 mm free: two sides of 70 mm · 18 N/mm give 2520 N, half in each strand at 180°.
    expect(springsAsSet(takeup, 100).left.springMm).toBe(310);
    expect(referenceTensionN(takeup)).toBeCloseTo(1260, 9);
  });

  it('need the force for a tension that the tension from a force gives back', () => {
    const turn = { ...wrap(120), turnFriction: 0.08 };
    expect(strandTensionN(forceForTensionN(777, turn), turn.gain, turn.turnFriction)).toBeCloseTo(777, 9);
  });
});
