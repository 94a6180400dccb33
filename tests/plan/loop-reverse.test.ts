import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sideForceN } from '../../agent/flow/takeup/spring-state.js';
import { reversingDrawInMm, reversingOfTakeup } from '../../agent/plan/loop-of-takeup.js';
import { type ReverseInput, drawInToForceMm, reversing } from '../../agent/plan/loop-reverse.js';
import { carriageForceN } from '../../agent/plan/side-springs.js';
import { DRIVE, straight } from './loops.js';
import { plant, standing, wrap } from './plants.js';

/** A level loop whose pull is 100 m · w · 0.05. */
function level(loadNPerM: number) {
  return [straight(100, 0, loadNPerM, 0.05), DRIVE];
}

function input(more: Partial<ReverseInput> & { readonly springLeftMm?: number; readonly springRightMm?: number } = {}): ReverseInput {
  const { springLeftMm = 285, springRightMm = 285, ...rest } = more;
  const { sides } = standing(plant(), { positionMm: 100, elongationPct: 0.3, springLeftMm, springRightMm });
  return {
    path: level(200),
    turn: { ...wrap(180), turnFriction: 0 },
    leadMm: 3,
    sides,
    positionMm: 100,
    innerReserveMm: 5,
    leastTensionN: 250,
    ...rest,
  };
}

describe('reversing', () => {
  it('draws the carriage in until the springs hold the pull of the loop', () => {
    // 250 N on the slack side and 100 · 200 · 0.05 = 1000 N of friction: 1250 N at the take-up, 2500 N of the carriage. The springs give
    // 2 · 18 · 35 = 1260 N; the rest is 1240/36 = 34.44 mm.
    const reverse = reversing(input());
    expect(reverse.tensionN).toBeCloseTo(1250, 9);
    expect(reverse.forceNeededN).toBeCloseTo(2500, 9);
    expect(reverse.drawnInMm).toBeCloseTo(1240 / 36, 9);
    expect(reverse.limit).toBe('springs');
    expect(reverse.marginToSolidMm).toBeCloseTo(285 - 1240 / 36 - 150, 9);
    expect(reverse.usableMarginMm).toBeCloseTo(285 - 1240 / 36 - 162, 9);
    expect(reverse.slackGatheredMm).toBeCloseTo((2 * 1240) / 36, 9);
    expect(reverse.walk.nodes.at(-1)?.tensionN).toBeCloseTo(1250, 9);
    expect(reverse.walk.lowest.tensionN).toBeCloseTo(250, 9);
  });

  it('climbs where the conveyor falls: a load on the way down is lifted on the way back', () => {
    const falling = reversing(input({ path: [straight(50, -3, 200, 0.05), straight(50, 0, 200, 0.05), DRIVE] }));
    const run = Math.sqrt(50 ** 2 - 3 ** 2);
    expect(falling.tensionN).toBeCloseTo(250 + 200 * 0.05 * 50 + 200 * (0.05 * run + 3), 9);
  });

  it('finds the worst load, climbs and declines as they are met in reverse', () => {
    // The flank that falls from the drive's side is the climb of the way back: loaded alone, nothing on the other flank helps it down.
    const reverse = reversing(input({ path: [straight(40, 5, 400, 0.05), straight(40, -5, 400, 0.05), DRIVE], emptyNPerM: 100 }));
    const run = Math.sqrt(40 ** 2 - 5 ** 2);
    expect(reverse.load).toBe('climbs-loaded');
    expect(reverse.tensionN).toBeCloseTo(250 + 400 * (0.05 * run + 5) + 100 * (0.05 * run - 5), 9);
  });

  it('ends at coils that touch where the pull is more than the springs have', () => {
    const reverse = reversing(input({ path: level(1300), positionMm: 230 }));
    expect(reverse.limit).toBe('springs-solid');
    expect(reverse.marginToSolidMm).toBeCloseTo(0, 9);
    expect(reverse.drawnInMm).toBeCloseTo(135, 9);
    // 250 + 6500 N of tension, 6750 N a side, at 320 − 162 mm: no nut gives that, a spring of 42.7 N/mm does.
    expect(reverse.setting).toEqual({ setting: 'spring-too-soft', leastRateNPerMm: expect.closeTo(6750 / 158, 9) as number });
  });

  it('ends at the inner stop where the carriage has no way left', () => {
    const reverse = reversing(input({ positionMm: 20 }));
    expect(reverse).toMatchObject({ limit: 'inner-stop', drawnInMm: 20 });
    // Tighter nuts keep it off: with 2500 N a side is 250.56 mm long, and 15 mm of draw-in are left above the reserve of 5 mm.
    expect(reverse.setting).toMatchObject({ setting: 'found', drawnInMm: 15 });
    const lengths = reverse.setting.setting === 'found' ? reverse.setting.springMm : undefined;
    expect(lengths?.left).toBeCloseTo(320 - 1250 / 18 + 15, 9);
    expect(reverse.setting).toMatchObject({ quarterTurns: { left: 6.5, right: 6.5 } });
  });

  it('does not move a carriage whose springs give more already, and leaves the nuts', () => {
    const reverse = reversing(input({ path: level(20), leadMm: undefined }));
    expect(reverse.drawnInMm).toBe(0);
    expect(reverse.setting).toMatchObject({ setting: 'found', drawnInMm: 0, quarterTurns: undefined });
    expect(reverse.setting.setting === 'found' ? reverse.setting.springMm.left : NaN).toBeCloseTo(285, 9);
  });

  it('keeps the margin with sides that share the pull', () => {
    const uneven = reversing(input({ springLeftMm: 300, springRightMm: 240 }));
    expect(uneven.setting).toMatchObject({ setting: 'found' });
    const { springMm, drawnInMm } = uneven.setting.setting === 'found' ? uneven.setting : { springMm: undefined, drawnInMm: NaN };
    expect(springMm?.left).toBeCloseTo(springMm?.right ?? NaN, 9);
    expect((springMm?.left ?? NaN) - drawnInMm - 150).toBeGreaterThan(uneven.marginToSolidMm);
  });
});

it('springs reach a force with the least draw-in that gives it, idle ones joining on the way', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 200, max: 400, noNaN: true }),
      fc.double({ min: 200, max: 400, noNaN: true }),
      fc.double({ min: 0, max: 9000, noNaN: true }),
      (springLeftMm, springRightMm, forceN) => {
        const { sides } = standing(plant(), { positionMm: 100, elongationPct: 0.3, springLeftMm, springRightMm });
        const drawn = drawInToForceMm(sides, forceN);
        const reached = (['left', 'right'] as const).reduce(
          (sum, side) => sum + sideForceN(sides[side].spring, sides[side].springMm - drawn),
          0,
        );
        expect(reached).toBeCloseTo(Math.max(forceN, carriageForceN(sides)), 5);
      },
    ),
  );
});

describe('the draw-in that a removal leaves room for', () => {
  const here = plant({ reversing: true, path: level(200) });
  const { sides } = standing(here, { positionMm: 100, elongationPct: 0.3, springLeftMm: 300, springRightMm: 300 });

  it('counts with the springs as they will be set', () => {
    // Set to 900 N, the carriage gives 1800 N of the 2500 N: 700/36 mm.
    expect(reversingDrawInMm(here.conveyor, here.takeup, sides, 900)).toBeCloseTo(700 / 36, 9);
  });

  it('is nothing on a conveyor that runs one way, or whose path is not known', () => {
    expect(reversingDrawInMm({ ...here.conveyor, drive: { reversing: false } }, here.takeup, sides, 900)).toBe(0);
    expect(reversingDrawInMm({ ...here.conveyor, path: [] }, here.takeup, sides, 900)).toBe(0);
    expect(reversingOfTakeup({ ...here.conveyor, path: [] }, here.takeup, sides, 100, 5)).toBe('no-path');
  });
});
