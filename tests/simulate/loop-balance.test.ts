import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { travelPerWear } from '../../agent/flow/takeup/travel.js';
import { reevingGain } from '../../agent/site/reeving-gain.js';
import { balance, carriageForceN, tensionOfForceN, travelOf, type Carriage, type ChainDemand } from '../../agent/simulate/loop-balance.js';

/** Springs that are free at 400 and solid at −200, on a stroke of 500. */
function carriage(over: Partial<Carriage> = {}): Carriage {
  const side = { rateNPerMm: 10, freeAtMm: 400, solidAtMm: -200 };
  return { gain: 2, turnFriction: 0, strokeMm: 500, skewMm: 0, left: side, right: side, heldMm: undefined, ...over };
}

function demand(slackMm: number, over: Partial<ChainDemand> = {}): ChainDemand {
  return { slackMm, stretchMmPerN: 0, referenceTensionN: 2000, ...over };
}

const anyCarriage: fc.Arbitrary<Carriage> = fc
  .record({
    wrapDeg: fc.double({ min: 60, max: 180, noNaN: true }),
    turnFriction: fc.double({ min: 0, max: 0.1, noNaN: true }),
    skewMm: fc.double({ min: -20, max: 20, noNaN: true }),
    rateLeft: fc.double({ min: 1, max: 40, noNaN: true }),
    rateRight: fc.double({ min: 1, max: 40, noNaN: true }),
    freeLeft: fc.double({ min: 100, max: 600, noNaN: true }),
    freeRight: fc.double({ min: 100, max: 600, noNaN: true }),
  })
  .map(({ wrapDeg, turnFriction, skewMm, rateLeft, rateRight, freeLeft, freeRight }) => ({
    gain: reevingGain(wrapDeg),
    turnFriction,
    strokeMm: 500,
    skewMm,
    left: { rateNPerMm: rateLeft, freeAtMm: freeLeft, solidAtMm: freeLeft - 350 },
    right: { rateNPerMm: rateRight, freeAtMm: freeRight, solidAtMm: freeRight - 350 },
    heldMm: undefined,
  }));

/** n·p·(1+ε) + … − C on the one side, Σ g·x on the other. */
function openMm(carriages: readonly Carriage[], { slackMm, stretchMmPerN, referenceTensionN }: ChainDemand): number {
  const { positionsMm, tensionN } = balance(carriages, { slackMm, stretchMmPerN, referenceTensionN });
  const taken = carriages.reduce((sum, { gain }, index) => sum + gain * (positionsMm[index] ?? NaN), 0);
  return taken - slackMm - (tensionN - referenceTensionN) * stretchMmPerN;
}

describe('carriages and chain in balance', () => {
  it('without stiffness a carriage stands where the path closes: x = slack / g', () => {
    expect(balance([carriage()], demand(300)).positionsMm[0]).toBeCloseTo(150, 9);
  });

  it('holds half the spring force in each strand at 180° without turn friction', () => {
    const { positionsMm, tensionN } = balance([carriage()], demand(300));
    expect(carriageForceN(carriage(), positionsMm[0]!)).toBeCloseTo(5000, 6);
    expect(tensionN).toBeCloseTo(2500, 6);
  });

  it('closes the path, and every free carriage holds the tension of the chain', () => {
    fc.assert(
      fc.property(
        fc.array(anyCarriage, { minLength: 1, maxLength: 3 }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        (carriages, stretchMmPerN, share) => {
          // Chain for carriages somewhere between the innermost and where the springs are free.
          const slackMm = carriages.reduce((sum, one) => {
            const { innerMm, outerMm } = travelOf(one);
            const free = Math.min(outerMm, one.left.freeAtMm, one.right.freeAtMm);
            return sum + one.gain * (innerMm + share * Math.max(0, free - innerMm));
          }, 0);
          const asked = demand(slackMm, { stretchMmPerN, referenceTensionN: 1500 });
          const { positionsMm, tensionN } = balance(carriages, asked);
          const movable = carriages.some((one, index) => {
            const { innerMm, outerMm } = travelOf(one);
            const x = positionsMm[index]!;
            if (x <= innerMm + 1e-6 || x >= outerMm - 1e-6) return false;
            expect(tensionOfForceN(one, carriageForceN(one, x))).toBeCloseTo(tensionN, 3);
            return true;
          });
          if (movable && tensionN > 0) expect(openMm(carriages, asked)).toBeCloseTo(0, 6);
        },
      ),
    );
  });

  it('shares more chain among take-ups as their gains and spring rates say (mechanics §6)', () => {
    const carriages = [carriage(), carriage({ gain: reevingGain(120), left: { rateNPerMm: 6, freeAtMm: 380, solidAtMm: -200 } })];
    const stretchMmPerN = 0.012;
    const at = (slackMm: number) => balance(carriages, demand(slackMm, { stretchMmPerN })).positionsMm;
    const [before, after] = [at(600), at(610)];
    const expected = travelPerWear(stretchMmPerN, 1, [
      { gain: 2, springRateNPerMm: 20 },
      { gain: reevingGain(120), springRateNPerMm: 16 },
    ]);
    expected.forEach((share, index) => {
      expect((after[index]! - before[index]!) / 10).toBeCloseTo(share, 6);
    });
  });

  it('leaves a chain that is too long hanging slack: no tension, the carriage where its springs end', () => {
    expect(balance([carriage()], demand(900))).toEqual({ tensionN: 0, positionsMm: [400] });
  });

  it('lets one side push alone where the other is free', () => {
    const uneven = carriage({ right: { rateNPerMm: 10, freeAtMm: 300, solidAtMm: -300 } });
    const { positionsMm, tensionN } = balance([uneven], demand(700));
    expect(positionsMm[0]).toBeCloseTo(350, 9);
    expect(tensionN).toBeCloseTo((10 * 50) / 2, 6);
  });

  it('stops at the outer stop with its nearer side', () => {
    const long = carriage({
      skewMm: 6,
      left: { rateNPerMm: 10, freeAtMm: 900, solidAtMm: 0 },
      right: { rateNPerMm: 10, freeAtMm: 900, solidAtMm: 0 },
    });
    expect(balance([long], demand(1200)).positionsMm[0]).toBeCloseTo(497, 9);
  });

  it('with coils touching gives no further: what is missing goes into the chain', () => {
    const tight = carriage({ left: { rateNPerMm: 10, freeAtMm: 400, solidAtMm: 100 } });
    const stretched = balance([tight], demand(100, { stretchMmPerN: 0.01 }));
    expect(stretched.positionsMm[0]).toBe(100);
    // 200 mm are taken up where 100 mm of chain are: 100 mm of stretch at 0.01 mm/N, above the reference tension.
    expect(stretched.tensionN).toBeCloseTo(2000 + 100 / 0.01, 3);
    expect(balance([tight], demand(100)).positionsMm[0]).toBe(100);
  });

  it('leaves a seized carriage where it is and moves the others for it', () => {
    const { positionsMm } = balance([carriage({ heldMm: 100 }), carriage()], demand(500));
    expect(positionsMm[0]).toBe(100);
    expect(positionsMm[1]).toBeCloseTo(150, 9);
  });
});
