import { describe, expect, it } from 'vitest';
import { loopTension } from '../../agent/plan/loop-tension.js';
import { NO_LOOP_SENTENCES, loopOfTakeup, noLoop } from '../../agent/plan/loop-of-takeup.js';
import { takeupPlace } from '../../agent/plan/takeup-place.js';
import { walkLoop } from '../../agent/plan/loop-walk.js';
import { DRIVE, curve, straight } from './loops.js';
import { plant, standing, wrap } from './plants.js';

const HALF_TURN = { ...wrap(180), turnFriction: 0 };
/** Up to a furnace and down again, and home on the level; the carriers weigh 100 N/m empty and 400 N/m full. */
const OVER_A_HILL = [straight(40, 5, 400, 0.05), curve(180, 0.05, 1, 400), straight(40, -5, 400, 0.05), straight(80, 0, 100, 0.05), DRIVE];

function over(carriageForceN: number) {
  return loopTension({ path: OVER_A_HILL, turn: HALF_TURN, carriageForceN, leastTensionN: 200, emptyNPerM: 100 });
}

describe('the worst of the load cases', () => {
  it('is found: loaded on the climb alone pulls hardest, loaded on the decline alone hangs slackest', () => {
    const loop = over(2400);
    expect(loop.cases.map(({ load }) => load)).toEqual(['loaded', 'empty', 'climbs-loaded', 'declines-loaded']);
    // What a loaded decline gives back, 5 m · 400 N/m, is not there when only the climb is loaded.
    expect(loop.hardest.load).toBe('climbs-loaded');
    expect(loop.slackest.load).toBe('declines-loaded');
    expect(loop.slackest.walk.lowest).toMatchObject({ segment: 2, afterDecline: true });
    // And then the drive's tight side is higher than the top of the hill, over which the loaded curve would count.
    expect(loop.tightest.load).toBe('climbs-loaded');
    expect(loop.tightest.walk.highest.place).toBe('drive-tight');
  });

  it('says which carriage force the least tension asks for, and what the springs have to spare', () => {
    for (const { walk, forceNeededN, forceToSpareN } of over(2400).cases) {
      expect(forceToSpareN).toBeCloseTo(2400 - forceNeededN, 9);
      expect(walk.lowest.tensionN >= 200).toBe(forceToSpareN >= 0);
    }
  });

  it('counts the carriers as empty with the least load of the path where nobody says it', () => {
    const said = over(2400);
    const unsaid = loopTension({ path: OVER_A_HILL, turn: HALF_TURN, carriageForceN: 2400, leastTensionN: 200 });
    expect(unsaid).toEqual(said);
  });
});

describe('where the take-up stands', () => {
  it('is right close after the drive on a path that only costs', () => {
    expect(takeupPlace(walkLoop([straight(60, 0, 100, 0.05), DRIVE], HALF_TURN, 2000))).toEqual({ place: 'at-lowest' });
  });

  it('is wrong on the tight side: the chain is slacker just after the drive', () => {
    const place = takeupPlace(walkLoop([straight(5, 0, 100, 0.05), DRIVE, straight(60, 0, 100, 0.05)], HALF_TURN, 2000));
    expect(place).toMatchObject({ place: 'lower-after-drive', node: { atMm: 5000 } });
    expect(place.place === 'at-lowest' ? NaN : place.byN).toBeCloseTo(300, 9);
  });

  it('is wrong above a decline: at its foot the chain is slacker', () => {
    const place = takeupPlace(walkLoop([straight(10, -6, 200, 0.05), straight(10, 6, 200, 0.05), DRIVE], HALF_TURN, 4000));
    expect(place).toMatchObject({ place: 'lower-at-foot-of-decline', node: { atMm: 10_000, segment: 0 } });
  });

  it('is right at the foot of the decline that follows the drive', () => {
    const foot = [straight(10, 6, 200, 0.05), straight(40, 0, 200, 0.05), DRIVE, straight(10, -6, 200, 0.05)];
    expect(takeupPlace(walkLoop(foot, HALF_TURN, 4000))).toEqual({ place: 'at-lowest' });
  });

  it('is told apart from friction that nobody knows so well', () => {
    // Half a per cent of the take-up's own tension is no reason to move it.
    expect(takeupPlace(walkLoop([straight(60, 0, 100, 0.05), DRIVE, straight(1, 0, 100, 0.05)], HALF_TURN, 2000))).toEqual({
      place: 'at-lowest',
    });
  });
});

describe('the loop of a take-up of the site', () => {
  const here = plant({ path: OVER_A_HILL });
  const { sides } = standing(here, { positionMm: 150, elongationPct: 0.3, springLeftMm: 250, springRightMm: 250 });

  it('is walked with what its springs give and the least tension of its chain', () => {
    const loop = loopOfTakeup(here.conveyor, here.takeup, sides, 100);
    expect(loop).toEqual(loopTension({ path: OVER_A_HILL, turn: here.takeup, carriageForceN: 2520, leastTensionN: 250, emptyNPerM: 100 }));
  });

  it('cannot be walked without a path, or from a take-up at which the path does not begin', () => {
    expect(loopOfTakeup({ ...here.conveyor, path: [] }, here.takeup, sides)).toBe('no-path');
    expect(noLoop(here.conveyor, { id: 'tu2' })).toBe('path-starts-elsewhere');
    expect(Object.values(NO_LOOP_SENTENCES).every((text) => text.startsWith('The '))).toBe(true);
  });
});
