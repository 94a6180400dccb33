import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planRemoval, type RemovalPlan, type RemovalWish } from '../../agent/plan/removal-plan.js';
import { SIDES } from '../../agent/plan/side-springs.js';
import { type TakeupState, takeupState } from '../../agent/plan/takeup-state.js';
import { type Plant, plant, wrap } from '../plan/plants.js';

/** Take-ups of every kind: wraps, strokes, chains stiff and soft, carriers near and far, worn a little or a lot. */
interface Drawn {
  readonly here: Plant;
  readonly state: TakeupState;
  readonly wish: RemovalWish;
}

/** Read once: the file is the same for all. */
const BASE = plant();
const BARE = plant({ carriers: null }).conveyor;

const drawn: fc.Arbitrary<Drawn> = fc
  .record({
    wrapDeg: fc.constantFrom(60, 90, 120, 180),
    strokeMm: fc.double({ min: 60, max: 900, noNaN: true }),
    at: fc.double({ min: 0, max: 1, noNaN: true }),
    pitchMm: fc.constantFrom(25.4, 50.8, 76.2, 100, 152.4),
    repeatPitches: fc.integer({ min: 1, max: 4 }),
    pitches: fc.integer({ min: 60, max: 6000 }),
    elongationPct: fc.double({ min: -0.05, max: 3, noNaN: true }),
    stiffnessKn: fc.option(fc.double({ min: 3000, max: 40_000, noNaN: true }), { nil: undefined }),
    spacing: fc.option(fc.tuple(fc.double({ min: 200, max: 2000, noNaN: true }), fc.double({ min: 0.2, max: 1, noNaN: true })), {
      nil: null,
    }),
    springMm: fc.option(fc.tuple(fc.double({ min: 170, max: 319, noNaN: true }), fc.double({ min: 170, max: 319, noNaN: true })), {
      nil: undefined,
    }),
    breathingMm: fc.double({ min: 0, max: 20, noNaN: true }),
    thermalMm: fc.double({ min: -150, max: 250, noNaN: true }),
    besidesInwardsMm: fc.double({ min: 0, max: 40, noNaN: true }),
    handlingSlackMm: fc.double({ min: 0, max: 200, noNaN: true }),
    keepEveryCarrier: fc.boolean(),
    targetTensionN: fc.option(fc.double({ min: 100, max: 2500, noNaN: true }), { nil: undefined }),
  })
  .map((one) => {
    const { strokeMm, pitchMm, repeatPitches, pitches, stiffnessKn, spacing, springMm } = one;
    const takeup = { ...BASE.takeup, strokeMm, ...wrap(one.wrapDeg) };
    const here: Plant = {
      takeup,
      conveyor: {
        ...BARE,
        chain: { ...BASE.conveyor.chain, pitchMm, repeatPitches, pitches, ...(stiffnessKn === undefined ? {} : { stiffnessKn }) },
        takeups: [takeup],
        ...(spacing === null ? {} : { carriers: { spacingMm: spacing[0], minSpacingMm: spacing[0] * spacing[1] } }),
      },
    };
    const reading = takeupState(here.conveyor, here.takeup, {
      ...{ positionMm: one.at * strokeMm, elongationPct: one.elongationPct, breathingMm: one.breathingMm, thermalMm: one.thermalMm },
      ...(springMm === undefined ? {} : { springLeftMm: springMm[0], springRightMm: springMm[1] }),
    });
    if (!reading.ok) throw new Error('a drawn take-up can stand so');
    const { besidesInwardsMm, handlingSlackMm, keepEveryCarrier, targetTensionN } = one;
    return { here, state: reading.state, wish: { besidesInwardsMm, handlingSlackMm, keepEveryCarrier, targetTensionN } };
  });

const holds = (of: (drawing: Drawn, plan: RemovalPlan) => void): void => {
  fc.assert(
    fc.property(drawn, (one) => of(one, planRemoval(one.here.conveyor, one.here.takeup, one.state, one.wish))),
    { numRuns: 400 },
  );
};
const possible = ({ choices }: RemovalPlan) => choices.filter(({ stops }) => stops.length === 0);
const HAIR_MM = 1e-6;

describe('every removal that can be made, at whatever take-up', () => {
  it('leaves the carriage the room that it needs inwards', () => {
    holds((_, plan) => {
      for (const { carriageAfterMm, settlesAtMm } of possible(plan))
        expect(Math.min(carriageAfterMm, settlesAtMm)).toBeGreaterThanOrEqual(plan.excess.totalMm - HAIR_MM);
    });
  });

  it('never parts a chain that the carriage cannot be drawn in for: chain, slack to handle it, and its stretch', () => {
    holds(({ here, state }, plan) => {
      for (const { drawIn, lengthMm } of possible(plan)) {
        expect(drawIn.neededMm).toBeGreaterThanOrEqual((lengthMm + plan.handlingSlackMm) / here.takeup.gain - HAIR_MM);
        expect(drawIn.neededMm).toBeLessThanOrEqual(drawIn.availableMm + HAIR_MM);
        expect(drawIn.availableMm).toBeLessThanOrEqual(state.positionMm + HAIR_MM);
      }
    });
  });

  it('keeps the least spacing of the carriers, with no more of them off than it takes, and all of them where they are to stay', () => {
    holds(({ here, wish }, plan) => {
      const { carriers: spacing } = here.conveyor;
      for (const { carriers, nominalMm } of possible(plan)) {
        if (spacing === undefined || carriers === undefined) {
          expect([spacing, carriers]).toEqual([undefined, undefined]);
          continue;
        }
        expect(carriers.gapLeftMm).toBeGreaterThanOrEqual(spacing.minSpacingMm - HAIR_MM);
        expect(carriers.gapLeftMm).toBeCloseTo((carriers.off + 1) * spacing.spacingMm - nominalMm, 6);
        if (carriers.off > 0) expect(carriers.gapLeftMm - spacing.spacingMm).toBeLessThan(spacing.minSpacingMm);
        if (wish.keepEveryCarrier === true) expect(carriers.off).toBe(0);
      }
    });
  });

  it('is a multiple of the repeat, leaves chain in the circuit, and regains what it draws in', () => {
    holds(({ here, state }, plan) => {
      for (const choice of plan.choices) {
        expect(choice.pitches % here.conveyor.chain.repeatPitches).toBe(0);
        expect(choice.carriageAfterMm).toBeCloseTo(state.positionMm - choice.lengthMm / here.takeup.gain, 6);
      }
      for (const { pitchesLeft } of possible(plan)) expect(pitchesLeft).toBeGreaterThan(0);
    });
  });

  it('is told with nuts in quarters of a turn, whose springs and tension are those that they leave', () => {
    holds(({ here }, plan) => {
      for (const { nuts } of plan.choices) {
        for (const side of SIDES) {
          const { quarterTurns, springAfterMm, marginToSolidMm } = nuts.sides[side];
          expect(((quarterTurns ?? NaN) * 4) % 1 === 0).toBe(true);
          expect(marginToSolidMm).toBeCloseTo(springAfterMm - here.takeup.spring.solidMm, 9);
        }
      }
    });
  });
});

describe('the recommended removal', () => {
  it('is one that can be made, and none is recommended where none can be', () => {
    holds((_, plan) => {
      const can = possible(plan).map(({ pitches }) => pitches);
      if (plan.recommended !== undefined) expect(can).toContain(plan.recommended.pitches);
      if (can.length === 0) expect(plan.recommended).toBeUndefined();
      expect((plan.recommended === undefined) === (plan.notRecommended !== undefined)).toBe(true);
    });
  });
});
