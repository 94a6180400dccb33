import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type NutInput, planNuts } from '../../agent/plan/nut-plan.js';
import { nutProblemSentences } from '../../agent/plan/nut-words.js';
import { plant, standing, type Plant } from './plants.js';

function input(here: Plant, springLeftMm: number, springRightMm: number, more: Partial<NutInput> = {}): NutInput {
  const { sides } = standing(here, { positionMm: 150, elongationPct: 0.3, springLeftMm, springRightMm });
  return {
    ...{ turn: here.takeup, sides, leadMm: here.takeup.nutLeadMm, limits: here.conveyor.chain, giveMmPerN: 0, chainOutMm: 0 },
    ...{ positionMm: 150, strokeMm: here.takeup.strokeMm },
    ...more,
  };
}

describe('nuts turned to a strand tension', () => {
  it('are turned by the length that is wanted less over the lead, the same on both sides', () => {
    // 900 N in each strand ask for 1800 N of the carriage, 900 N a side: 50 mm of 18 N/mm, so 270 mm. From 285 mm that is 15 mm, 5 turns.
    const plan = planNuts(input(plant(), 285, 285), { to: 'tension', tensionN: 900 });
    for (const side of [plan.sides.left, plan.sides.right]) {
      expect(side.turns).toBeCloseTo(5, 9);
      expect(side.quarterTurns).toBe(5);
      expect(side.springAfterMm).toBeCloseTo(270, 9);
      expect(side.marginToSolidMm).toBeCloseTo(120, 9);
      expect(side.usableMarginMm).toBeCloseTo(108, 9);
      expect(side.balanceTurns).toBeCloseTo(0, 9);
    }
    expect(plan.problems).toEqual([]);
  });

  it('take out skew in force on the way: the common turns and each side of its own', () => {
    const plan = planNuts(input(plant(), 288, 282), { to: 'tension', tensionN: 900 });
    expect(plan.sides.left.turns).toBeCloseTo(6, 9);
    expect(plan.sides.right.turns).toBeCloseTo(4, 9);
    expect(plan.sides.left.commonTurns).toBeCloseTo(5, 9);
    expect([plan.sides.left.balanceTurns, plan.sides.right.balanceTurns].map((turns) => Math.round(turns ?? NaN))).toEqual([1, -1]);
    expect(plan.sides.left.forceAfterN).toBeCloseTo(plan.sides.right.forceAfterN, 9);
  });

  it('are told in quarters, with what the rounding leaves of the tension', () => {
    const plan = planNuts(input(plant(), 285, 285), { to: 'tension', tensionN: 905 });
    // 905 N ask for 269.722 mm: 5.093 turns, rounded to 5, which gives 900 N.
    expect(plan.sides.left.turns).toBeCloseTo(5.0926, 4);
    expect(plan.sides.left.quarterTurns).toBe(5);
    expect(plan.tensionAfterN).toBeCloseTo(900, 9);
    expect(plan.roundingLeavesN).toBeCloseTo(-5, 9);
  });

  it('are backed off after chain was taken out, since that presses the springs together', () => {
    const plan = planNuts(input(plant(), 270, 270, { chainOutMm: 152.4 }), { to: 'tension', tensionN: 900 });
    expect(plan.sides.left.turns).toBeCloseTo(-76.2 / 3, 9);
    expect(plan.moveMm).toBeCloseTo(-76.2, 9);
  });

  it('cannot follow a chain that gives way beyond a stop', () => {
    // 450 N more let out 0.03 mm/N of chain: 13.5 mm, and the carriage goes out by half of it, 6.75 mm. The other way it comes in.
    const problems = (positionMm: number, tensionN: number) =>
      planNuts(input(plant(), 270, 270, { giveMmPerN: 0.03, positionMm }), { to: 'tension', tensionN }).problems;
    expect(problems(224, 1350)).toEqual([{ problem: 'outer-stop' }]);
    expect(problems(223, 1350)).toEqual([]);
    expect(problems(6, 450)).toEqual([{ problem: 'inner-stop' }]);
    expect(problems(7, 450)).toEqual([]);
  });

  it('are set with a rule where the lead of the thread is not known', () => {
    const plan = planNuts(input(plant(), 285, 285, { leadMm: undefined }), { to: 'tension', tensionN: 900 });
    expect(plan.sides.left).toMatchObject({ turns: undefined, quarterTurns: undefined, commonTurns: undefined });
    expect(plan.sides.left.springAfterMm).toBeCloseTo(270, 9);
    expect(plan.problems).toEqual([{ problem: 'lead-not-known' }]);
  });

  it.each([
    // 2 · 18 N/mm · (320 − 150) mm / 2 = 3060 N at coils that touch; 2844 N at the shortest usable length.
    [3100, 'spring-solid'],
    [2900, 'below-shortest-usable'],
  ] as const)('are refused at %d N: %s, on both sides', (tensionN, problem) => {
    const plan = planNuts(input(plant({ chain: { maxTensionN: 9000 } }), 285, 285), { to: 'tension', tensionN });
    expect(plan.problems).toEqual([
      { problem, side: 'left' },
      { problem, side: 'right' },
    ]);
  });

  it('are told when the tension lies outside what the chain is to have', () => {
    const here = plant({ chain: { minTensionN: 500, maxTensionN: 1500 } });
    expect(planNuts(input(here, 285, 285), { to: 'tension', tensionN: 400 }).problems).toEqual([{ problem: 'below-least-tension' }]);
    expect(planNuts(input(here, 285, 285), { to: 'tension', tensionN: 1600 }).problems).toEqual([{ problem: 'above-most-tension' }]);
  });

  it('reach the tension to within a quarter turn, on any chain', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 170, max: 318, noNaN: true }),
        fc.double({ min: 170, max: 318, noNaN: true }),
        fc.double({ min: 300, max: 2500, noNaN: true }),
        fc.constantFrom(0, 0.01, 0.05),
        (left, right, tensionN, giveMmPerN) => {
          const plan = planNuts(input(plant(), left, right, { giveMmPerN }), { to: 'tension', tensionN });
          // An eighth of 3 mm on each side of 18 N/mm is at most 6.75 N of tension; a chain that stretches takes some of it.
          expect(Math.abs(plan.roundingLeavesN)).toBeLessThanOrEqual(6.75 + 1e-6);
        },
      ),
    );
  });
});

describe('nuts turned to force balance', () => {
  it('leave the tension as it is and let both sides push alike', () => {
    const plan = planNuts(input(plant(), 270, 258), { to: 'balance' });
    expect(plan.tensionAskedN).toBeCloseTo(plan.tensionBeforeN, 9);
    expect([plan.sides.left.quarterTurns, plan.sides.right.quarterTurns]).toEqual([2, -2]);
    expect(plan.sides.left.springAfterMm).toBeCloseTo(264, 9);
    expect(plan.sides.left.commonTurns).toBeCloseTo(0, 9);
  });

  it('gives springs of different rates different lengths, and the same force', () => {
    const here = plant();
    const soft = input(here, 270, 270);
    const sides = { ...soft.sides, right: { ...soft.sides.right, spring: { ...soft.sides.right.spring, rateNPerMm: 12 } } };
    const plan = planNuts({ ...soft, sides }, { to: 'balance' });
    // 50 mm · (18 + 12) N/mm = 1500 N, 750 N a side: 41.667 mm and 62.5 mm of compression.
    expect(plan.sides.left.springMm).toBeCloseTo(320 - 750 / 18, 9);
    expect(plan.sides.right.springMm).toBeCloseTo(320 - 750 / 12, 9);
  });

  it('tells of springs that push with nothing', () => {
    const plan = planNuts(input(plant({ chain: { minTensionN: 1 } }), 330, 330), { to: 'balance' });
    expect(plan.problems.map(({ problem }) => problem)).toEqual(['below-least-tension', 'spring-free', 'spring-free']);
    expect(nutProblemSentences({ problems: [{ problem: 'spring-free', side: 'left' }], mostUsableTensionN: 0 }, 'metric')).toEqual([
      'Left side: The spring would be free and push with nothing: ask for more tension.',
    ]);
  });
});
