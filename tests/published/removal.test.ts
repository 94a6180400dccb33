import { describe, expect, it, test } from 'vitest';
import { carrierChange } from '../../agent/plan/carrier-gap.js';
import { planRemoval, type RemovalPlan } from '../../agent/plan/removal-plan.js';
import type { GivenFigures } from '../../agent/plan/takeup-state.js';
import { plant, standing, type PlantChange } from '../plan/plants.js';

// Tags: [C] common practice of the trade, no published source.

const INCH = 25.4;
const SPRINGS = { springLeftMm: 285, springRightMm: 285 };

function planned(change: PlantChange, given: Pick<GivenFigures, 'positionMm' | 'elongationPct'>, handlingSlackMm?: number): RemovalPlan {
  const here = plant(change);
  return planRemoval(here.conveyor, here.takeup, standing(here, { ...SPRINGS, ...given }), { handlingSlackMm });
}

describe('a take-up of the trade: 180°, 9 in of stroke, 3 in chain', () => {
  const nineInches = { takeup: { strokeMm: 9 * INCH } };

  it('is drawn in 6 in by 12 in of unworn chain taken out', () => {
    // [C] G2.
    const plan = planned(nineInches, { positionMm: 9 * INCH, elongationPct: 0 });
    const twelveInches = plan.choices.find(({ nominalMm }) => Math.abs(nominalMm - 12 * INCH) < 1e-9);
    expect(twelveInches?.pitches).toBe(4);
    expect(twelveInches?.travelRegainedMm).toBeCloseTo(6 * INCH, 9);
    expect(twelveInches?.carriageAfterMm).toBeCloseTo(3 * INCH, 9);
  });

  it('holds no more than 18 in of chain', () => {
    // [C] G2: 9 in of stroke holds 18 in.
    const plan = planned({ ...nineInches, carriers: null }, { positionMm: 9 * INCH, elongationPct: 0 }, 0);
    const longest = plan.choices.filter(({ stops }) => stops.length === 0).at(-1);
    expect(longest?.nominalMm).toBeCloseTo(18 * INCH, 9);
    expect(longest?.carriageAfterMm).toBeCloseTo(0, 9);
  });

  test.each([0, 0.3333, 1, 1.5])('at an elongation of %d %% is recommended a removal of 6 to 18 in', (elongationPct) => {
    // [C] mechanics §8: removals of 6 to 18 in are usual.
    for (const carriers of [null, { spacingMm: 24 * INCH, minSpacingMm: 18 * INCH }]) {
      const { recommended, choices } = planned({ ...nineInches, carriers }, { positionMm: 8.5 * INCH, elongationPct });
      const chosen = choices.find(({ pitches }) => pitches === recommended?.pitches);
      expect(chosen?.nominalMm).toBeGreaterThanOrEqual(6 * INCH - 1e-9);
      expect(chosen?.nominalMm).toBeLessThanOrEqual(18 * INCH + 1e-9);
    }
  });
});

describe('carriers 18 in apart with 18 in as the least', () => {
  const spacing = { spacingMm: 18 * INCH, minSpacingMm: 18 * INCH };

  it('lose one to 6 in of chain, which leaves 30 in: 12 in would be too near', () => {
    // [C] mechanics §8.
    const change = carrierChange(6 * INCH, 6 * INCH, spacing);
    expect(change).toMatchObject({ off: 1, gapsJoined: 2 });
    expect(change.gapLeftMm).toBeCloseTo(30 * INCH, 9);
    expect(carrierChange(6 * INCH, 6 * INCH, { ...spacing, minSpacingMm: 12 * INCH })).toMatchObject({
      off: 0,
      gapLeftMm: expect.closeTo(12 * INCH, 9) as number,
    });
  });

  it('come into the plan so', () => {
    const plan = planned({ carriers: spacing }, { positionMm: 215, elongationPct: 0.3 });
    expect(plan.choices[0]?.carriers).toMatchObject({ off: 1, gapLeftMm: expect.closeTo(30 * INCH, 9) as number });
    expect(plan.longestKeepingCarriers).toBe(0);
  });
});
