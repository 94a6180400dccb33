import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { type RemovalPlan, type RemovalWish, planRemoval } from '../../agent/plan/removal-plan.js';
import type { GivenFigures } from '../../agent/plan/takeup-state.js';
import { type PlantChange, plant, standing, wrap } from './plants.js';

const NEAR_THE_END: GivenFigures = {
  positionMm: 210,
  elongationPct: 0.4,
  pitches: 3200,
  springLeftMm: 285,
  springRightMm: 285,
  travelMmPerDay: 0.5,
  breathingMm: 4,
  thermalMm: 0,
};

function planned(change: PlantChange = {}, given: GivenFigures = {}, wish: RemovalWish = {}): RemovalPlan {
  const here = plant(change);
  return planRemoval(here.conveyor, here.takeup, standing(here, { ...NEAR_THE_END, ...given }), wish);
}

function near(value: number): number {
  return expect.closeTo(value, 6) as number;
}

function possible(plan: RemovalPlan) {
  return plan.choices.filter(({ stops }) => stops.length === 0);
}

describe('removals side by side', () => {
  it('are multiples of the repeat, the shortest first, with the first that cannot be made behind them', () => {
    const plan = planned();
    expect(plan.choices.map(({ pitches }) => pitches)).toEqual([2, 4, 6]);
    expect(plan.choices.map(({ stops }) => stops)).toEqual([[], [], ['inner-reserve', 'draw-in']]);
    expect(plan.choices.map(({ repeats }) => repeats)).toEqual([1, 2, 3]);
  });

  it('say where the carriage goes, what travel that regains and how many days', () => {
    const [two] = planned().choices;
    // 2 · 76.2 mm · 1.004 over g = 2.
    expect(two?.lengthMm).toBeCloseTo(153.0096, 9);
    expect(two?.travelRegainedMm).toBeCloseTo(76.5048, 9);
    expect(two?.carriageAfterMm).toBeCloseTo(133.4952, 9);
    expect(two?.daysGained).toBeCloseTo(76.5048 / 0.5, 9);
    expect(two?.pitchesLeft).toBe(3198);
  });

  it('count what the draw-in is for: the chain, the slack to handle it, and the stretch that is let go', () => {
    const [two] = planned({ chain: { stiffnessKn: 9000 } }, {}, { handlingSlackMm: 50 }).choices;
    expect(two?.drawIn.forChainMm).toBeCloseTo(76.5048, 9);
    expect(two?.drawIn.forSlackMm).toBe(25);
    // 2 · 18 N/mm · 35 mm / 2 = 630 N in 243.84 m of 9000 kN: 17.07 mm of chain.
    expect(two?.drawIn.forStretchMm).toBeCloseTo((630 * 243_840) / 9_000_000 / 2, 9);
    expect(two?.drawIn.availableMm).toBe(210);
  });

  it('count on one pitch of loose chain where nothing else is said, and on the reference tension', () => {
    const plan = planned();
    expect(plan.handlingSlackMm).toBe(76.2);
    expect(plan.targetTensionN).toBeCloseTo(1260, 9);
  });

  it('leave room inwards for breathing, cold and reversing, and for a cold carriage at the work', () => {
    const plan = planned({}, { thermalMm: 60 }, { reversingDrawInMm: 12 });
    expect(plan.excess).toEqual({ breathingMm: 4, coldContractionMm: 30, reversingDrawInMm: 12, besidesMm: 0, totalMm: 46 });
    expect(plan.choices[0]?.drawIn.availableMm).toBe(180);
  });

  it('set the springs to the target and tell the turns, less than none after chain came out', () => {
    const [two] = planned({}, {}, { targetTensionN: 900 }).choices;
    // 270 mm is asked for; 285 mm less 76.5 mm of carriage leaves 208.5 mm: 20½ turns back.
    expect(two?.nuts.sides.left.springMm).toBeCloseTo(270, 9);
    expect(two?.nuts.sides.left.quarterTurns).toBe(-20.5);
  });

  it('let a new tension move the carriage where the stiffness is known', () => {
    const [two] = planned({ chain: { stiffnessKn: 9000 } }, {}, { targetTensionN: 900 }).choices;
    expect(two?.carriageAfterMm).toBeCloseTo(133.4952, 9);
    expect(two?.settlesAtMm).toBeCloseTo(133.4952 + ((900 - 630) * 3198 * 76.2) / 9_000_000 / 2, 9);
    // Springs that are only taken for granted tell no present tension.
    const granted = planned({ chain: { stiffnessKn: 9000 } }, { springLeftMm: undefined, springRightMm: undefined }).choices[0];
    expect(granted?.settlesAtMm).toBe(granted?.carriageAfterMm);
  });

  test.each([
    [undefined, ['any-joint', 'any-joint', 'any-joint']],
    [4, ['one-pin-out', 'at-connectors', 'one-pin-out']],
    [2, ['at-connectors', 'at-connectors', 'at-connectors']],
  ] as const)('with connectors every %s pitches are parted at %j', (connectorEveryPitches, parting) => {
    const plan = planned({ chain: connectorEveryPitches === undefined ? {} : { connectorEveryPitches } });
    expect(plan.choices.map((choice) => choice.parting)).toEqual(parting);
  });

  it('say nothing of days where the wear is not known as a rate', () => {
    expect(planned({}, { travelMmPerDay: undefined }).choices[0]?.daysGained).toBeUndefined();
  });

  it('leave another take-up of the chain where it is while the tension stays, and reckon with what it lets out where it rises', () => {
    const { takeup } = plant();
    const tu2 = { ...takeup, ...wrap(120), id: 'tu2', location: 'hall 3' };
    // Both springs 285 mm long: 2 · 18 · 35 = 1260 N of carriage force, 630 N of tension.
    const same = planned({ others: [tu2] }, {}, { targetTensionN: 630 }).choices[0];
    expect(same?.others).toMatchObject([{ takeup: 'tu2', location: 'hall 3' }]);
    expect(same?.others[0]?.moveMm).toBeCloseTo(0, 9);
    expect(same?.settlesAtMm).toBeCloseTo(same?.carriageAfterMm ?? 0, 9);
    // 270 N more draw tu2 in by 270·√3/36 = 12.99 mm, which lets out 22.5 mm of chain: this carriage goes out by 11.25 mm for it.
    const more = planned({ others: [tu2] }, {}, { targetTensionN: 900 }).choices[0];
    expect(more?.others[0]?.moveMm).toBeCloseTo((-270 * Math.sqrt(3)) / 36, 9);
    expect((more?.settlesAtMm ?? 0) - (more?.carriageAfterMm ?? 0)).toBeCloseTo(11.25, 9);
    // Springs of 900 N a side are 270 mm long; they were 285 mm, and the carriage has come in by 76.5 − 11.25 mm.
    const regained = more?.travelRegainedMm ?? NaN;
    expect(more?.nuts.sides.left.turns).toBeCloseTo((285 - regained + 11.25 - 270) / 3, 9);
    expect(planned().choices[0]?.others).toEqual([]);
  });
});

describe('the recommended removal', () => {
  it('keeps every carrier where that takes the carriage out of the warning', () => {
    const plan = planned();
    expect(plan.recommended).toEqual({ pitches: 2, reason: 'keeps-every-carrier' });
    expect(plan.longestKeepingCarriers).toBe(2);
    expect(plan.choices[1]?.carriers).toMatchObject({ off: 1 });
  });

  it('takes the fewest carriers off where none can be kept', () => {
    // Gaps at their least already: 2 pitches cost one carrier, and so do 4 and 6; 8 would cost two.
    const wide = { takeup: { strokeMm: 460 }, carriers: { spacingMm: 457.2, minSpacingMm: 457.2 } };
    const plan = planned(wide, { positionMm: 440 });
    expect(possible(plan).map(({ carriers }) => carriers?.off)).toEqual([1, 1, 1, 2, 2]);
    expect(plan.recommended).toEqual({ pitches: 6, reason: 'fewest-carriers-off' });
    expect(plan.longestKeepingCarriers).toBe(0);
  });

  it('is the longest where there are no carriers to think of', () => {
    expect(planned({ carriers: null }).recommended).toEqual({ pitches: 4, reason: 'most-travel' });
    expect(planned({ carriers: null }).longestKeepingCarriers).toBeUndefined();
  });

  it('is parted at connectors rather than with a pin ground out', () => {
    const long = { carriers: null, takeup: { strokeMm: 460 }, chain: { connectorEveryPitches: 4 } };
    const plan = planned(long, { positionMm: 440 });
    expect(possible(plan).at(-1)?.pitches).toBe(10);
    expect(plan.recommended).toEqual({ pitches: 8, reason: 'parts-at-connectors' });
  });

  it('is the longest of all where none takes the carriage out of the warning', () => {
    const plan = planned({ takeup: { limits: { 'stroke-low': { remaining_mm: 200 } } } });
    expect(plan.recommended).toEqual({ pitches: 4, reason: 'most-travel-still-low' });
  });

  it('is the only one where one can be made', () => {
    expect(planned({}, { positionMm: 190 }).recommended).toEqual({ pitches: 2, reason: 'only-choice' });
  });
});

describe('no removal', () => {
  it('is recommended for a chain at its limit, or that will be there before it has used it', () => {
    for (const elongationPct of [2.1, 1.98]) {
      const plan = planned({}, { elongationPct });
      expect(plan).toMatchObject({ recommended: undefined, notRecommended: 'replace-chain' });
      expect(possible(plan).length).toBeGreaterThan(0);
    }
  });

  it('is called for where the chain is worn out before the carriage is at the stop', () => {
    // 0.1 % of 243.84 m is 244 mm of chain, 122 mm of carriage; 126 mm are left less 4 mm of breathing.
    expect(planned({}, { positionMm: 100, elongationPct: 1.9 }).notRecommended).toBe('wear-limit-before-stroke');
    expect(planned({}, { positionMm: 105, elongationPct: 1.9 }).notRecommended).toBe('stopped');
  });

  it('can be made too near the inner stop: what stops it, and from where on it can', () => {
    const plan = planned({}, { positionMm: 60 });
    expect(plan.notRecommended).toBe('stopped');
    expect(plan.stopped?.limit).toBe('inner-reserve');
    // The draw-in asks for more than the room left: (153.0096 + 76.2)/2.
    expect(plan.stopped?.help).toEqual([
      { help: 'wait-until-position', positionMm: near(114.6048), days: near(54.6048 / 0.5) },
      { help: 'turn-the-nuts' },
    ]);
  });

  it('can be made without drawing in far enough, but with less loose chain it could', () => {
    const plan = planned({}, { positionMm: 100 });
    expect(plan.stopped?.limit).toBe('draw-in');
    expect(plan.stopped?.help[0]).toEqual({ help: 'handle-with-less-slack', slackMm: near(2 * 100 - 153.0096) });
  });

  it('ever fits a repeat that is longer than the stroke', () => {
    const plan = planned({ chain: { repeatPitches: 8 } });
    expect(plan.stopped?.help).toEqual([{ help: 'stroke-too-short-for-repeat', neededMm: expect.any(Number) as number, strokeMm: 230 }]);
  });

  it('can be made where every carrier is to stay and no gap has it to give', () => {
    const tight = { carriers: { spacingMm: 457.2, minSpacingMm: 457.2 } };
    const plan = planned(tight, {}, { keepEveryCarrier: true });
    expect(plan.stopped).toEqual({ limit: 'carrier-spacing', help: [{ help: 'take-carriers-off', off: 1 }] });
    const half = planned(
      { chain: { repeatPitches: 1 }, carriers: { spacingMm: 609.6, minSpacingMm: 533.4 } },
      {},
      { keepEveryCarrier: true },
    );
    expect(possible(half).map(({ pitches }) => pitches)).toEqual([1]);
    expect(half.choices.at(-1)?.carriers?.placesKeepingAll).toBe(2);
  });

  it('can be made of a whole chain', () => {
    const plan = planned({ carriers: null }, { pitches: 2 });
    expect(plan.stopped).toMatchObject({ limit: 'chain-runs-out', help: [{ help: 'replace-the-chain' }] });
  });
});

describe('whatever the plant', () => {
  const anything = fc.record({
    positionMm: fc.double({ min: 0, max: 600, noNaN: true }),
    elongationPct: fc.double({ min: 0, max: 3, noNaN: true }),
    breathingMm: fc.double({ min: 0, max: 30, noNaN: true }),
    thermalMm: fc.double({ min: -100, max: 100, noNaN: true }),
    springLeftMm: fc.double({ min: 165, max: 315, noNaN: true }),
    springRightMm: fc.double({ min: 165, max: 315, noNaN: true }),
    repeatPitches: fc.integer({ min: 1, max: 6 }),
    deg: fc.constantFrom(60, 90, 120, 180),
    stiffnessKn: fc.constantFrom(undefined, 4000),
    spacing: fc.constantFrom(
      null,
      { spacingMm: 304.8, minSpacingMm: 304.8 },
      { spacingMm: 609.6, minSpacingMm: 457.2 },
      { spacingMm: 914.4, minSpacingMm: 300 },
    ),
    slackMm: fc.double({ min: 0, max: 200, noNaN: true }),
  });

  it('a removal that can be made keeps the carriage off its reserve, the repeat whole and the carriers apart', () => {
    fc.assert(
      fc.property(anything, ({ repeatPitches, deg, stiffnessKn, spacing, slackMm, ...given }) => {
        const here = plant({
          takeup: { ...wrap(deg), strokeMm: 600 },
          chain: { repeatPitches, ...(stiffnessKn === undefined ? {} : { stiffnessKn }) },
          carriers: spacing,
        });
        const plan = planRemoval(here.conveyor, here.takeup, standing(here, { ...given, pitches: 3200 }), { handlingSlackMm: slackMm });
        expect(plan.choices.at(-1)?.stops).not.toEqual([]);
        for (const choice of possible(plan)) {
          expect(choice.pitches % repeatPitches).toBe(0);
          expect(Math.min(choice.carriageAfterMm, choice.settlesAtMm)).toBeGreaterThanOrEqual(plan.excess.totalMm - 1e-6);
          expect(choice.drawIn.neededMm).toBeLessThanOrEqual(choice.drawIn.availableMm + 1e-6);
          if (spacing !== null) expect(choice.carriers?.gapLeftMm).toBeGreaterThanOrEqual(spacing.minSpacingMm - 1e-5);
        }
        if (plan.recommended !== undefined) {
          expect(possible(plan).map(({ pitches }) => pitches)).toContain(plan.recommended.pitches);
          expect(plan.notRecommended).toBeUndefined();
        } else {
          expect(plan.notRecommended).toBeDefined();
        }
      }),
    );
  });

  it('a removal made as planned is what the next plan finds', () => {
    fc.assert(
      fc.property(
        anything,
        ({ repeatPitches, deg, slackMm, positionMm, elongationPct, breathingMm, thermalMm, springLeftMm, springRightMm }) => {
          const here = plant({ takeup: { ...wrap(deg), strokeMm: 600 }, chain: { repeatPitches }, carriers: null });
          const state = standing(here, { positionMm, elongationPct, breathingMm, thermalMm, springLeftMm, springRightMm, pitches: 3200 });
          const [first, second] = planRemoval(here.conveyor, here.takeup, state, { handlingSlackMm: slackMm }).choices;
          if (first === undefined || second === undefined) return;
          const after = { ...state, positionMm: first.settlesAtMm, pitches: first.pitchesLeft };
          const [next] = planRemoval(here.conveyor, here.takeup, after, { handlingSlackMm: slackMm }).choices;
          expect(next?.carriageAfterMm).toBeCloseTo(second.carriageAfterMm, 6);
        },
      ),
    );
  });
});
