import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { forceForLeastN, walkLoop } from '../../agent/plan/loop-walk.js';
import { loadedAs, leastLoadNPerM, turnedRound, withDrive } from '../../agent/plan/loop-path.js';
import type { PathSegment } from '../../agent/site/site.js';
import { DRIVE, curve, straight } from './loops.js';
import { wrap } from './plants.js';

const HALF_TURN = { ...wrap(180), turnFriction: 0 };

describe('the walk around a loop', () => {
  it('starts at the take-up and adds what every stretch costs, to the tight side of the drive', () => {
    // By hand: 1000; level 50 m · 200 N/m · 0.05 → 1500; quarter turn e^(0.1·π/2) = 1.17009 → 1755.13; climb +1280 → 3035.13;
    // decline −1120 → 1915.13; the drive pulls 915.13.
    const path = [straight(50, 0, 200, 0.05), curve(90, 0.1), straight(10, 6, 200, 0.05), straight(10, -6, 200, 0.05), DRIVE];
    const walk = walkLoop(path, HALF_TURN, 2000);
    expect(walk.nodes.map(({ tensionN }) => Math.round(tensionN * 100) / 100)).toEqual([1000, 1500, 1755.13, 3035.13, 1915.13, 1000]);
    expect(walk.nodes.map(({ atMm }) => atMm)).toEqual([0, 50_000, 50_000, 60_000, 70_000, 70_000]);
    expect(walk.nodes.map(({ place }) => place)).toEqual(['leaving-take-up', 'along', 'along', 'along', 'drive-tight', 'entering-take-up']);
    expect(walk.tightN).toBeCloseTo(1915.13, 2);
    expect(walk.slackN).toBe(1000);
    expect(walk.drivePullN).toBeCloseTo(915.13, 2);
    expect(walk.highest.atMm).toBe(60_000);
    expect(walk.lowest.place).toBe('leaving-take-up');
  });

  it('goes back from the take-up to the slack side of a drive that stands before it', () => {
    // Between drive and take-up 20 m of level chain: the slack side is 20·100·0.1 = 200 N below the strand that enters the take-up.
    const walk = walkLoop([straight(30, 0, 100, 0.1), DRIVE, straight(20, 0, 100, 0.1)], HALF_TURN, 2000);
    expect(walk.nodes.map(({ tensionN }) => tensionN)).toEqual([1000, 1300, 800, 1000]);
    expect(walk.nodes.map(({ place }) => place)).toEqual(['leaving-take-up', 'drive-tight', 'drive-slack', 'entering-take-up']);
    expect(walk.drivePullN).toBeCloseTo(500, 9);
    expect(walk.lowest.place).toBe('drive-slack');
  });

  it('takes the drive to stand at the end of a path that names none', () => {
    const path = [straight(30, 0, 100, 0.1)];
    expect(walkLoop(path, HALF_TURN, 2000)).toEqual(walkLoop([...path, DRIVE], HALF_TURN, 2000));
  });

  it('leaves a turn with friction tighter than it enters, and both strands together balance the carriage', () => {
    const turn = { ...wrap(180), turnFriction: 0.1 };
    const { nodes } = walkLoop([straight(10, 0, 0, 0), DRIVE], turn, 2100);
    expect(nodes.at(-1)?.tensionN).toBeCloseTo(1000, 9);
    expect(nodes[0]?.tensionN).toBeCloseTo(1100, 9);
  });

  it('gives a drive that must hold the load back on a falling path a pull below 0', () => {
    expect(walkLoop([straight(10, -6, 400, 0.05), DRIVE], HALF_TURN, 6000).drivePullN).toBeLessThan(0);
  });

  it('on a level loop pulls with all the friction there is, whatever the take-up gives', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 100, max: 9000, noNaN: true }),
        fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 6 }),
        (force, lengths) => {
          const path = lengths.map((length) => straight(length, 0, 150, 0.08));
          const friction = lengths.reduce((sum, length) => sum + length * 150 * 0.08, 0);
          expect(walkLoop([...path, DRIVE], HALF_TURN, force).drivePullN).toBeCloseTo(friction, 6);
        },
      ),
    );
  });
});

const anyPath: fc.Arbitrary<readonly PathSegment[]> = fc
  .tuple(
    fc.array(
      fc.oneof(
        fc
          .tuple(fc.integer({ min: 1, max: 80 }), fc.double({ min: -0.9, max: 0.9, noNaN: true }), fc.integer({ min: 0, max: 500 }))
          .map(([length, slope, load]) => straight(length, length * slope, load, 0.08)),
        fc.tuple(fc.integer({ min: 10, max: 180 }), fc.integer({ min: 0, max: 300 })).map(([angle, load]) => curve(angle, 0.05, 0.8, load)),
      ),
      { minLength: 1, maxLength: 8 },
    ),
    fc.nat({ max: 8 }),
  )
  .map(([path, at]) => [...path.slice(0, at), DRIVE, ...path.slice(at)]);

describe('the carriage force for a least tension', () => {
  it('is that of the foot of a decline where the chain hangs lowest there', () => {
    // Down 6 m of 400 N/m with 8 m of run: the foot is 400·(0.05·8 − 6) = −2240 N below the take-up.
    expect(forceForLeastN([straight(10, -6, 400, 0.05), straight(10, 6, 400, 0.05), DRIVE], HALF_TURN, 250)).toBeCloseTo(
      2 * (250 + 2240),
      9,
    );
  });

  it('makes the lowest tension of any loop just the least asked', () => {
    fc.assert(
      fc.property(anyPath, fc.double({ min: 0, max: 1000, noNaN: true }), fc.constantFrom(0, 0.08), (path, least, turnFriction) => {
        const turn = { ...wrap(180), turnFriction };
        const force = forceForLeastN(path, turn, least);
        expect(walkLoop(path, turn, force).lowest.tensionN).toBeCloseTo(least, 5);
      }),
    );
  });
});

describe('a path', () => {
  it('turned round is met the other way, its climbs as declines; turned twice it is itself', () => {
    const path = [straight(30, 2, 100, 0.1), curve(90, 0.05), DRIVE, straight(5, -2, 100, 0.1)];
    expect(turnedRound(path)).toEqual([straight(5, 2, 100, 0.1), DRIVE, curve(90, 0.05), straight(30, -2, 100, 0.1)]);
    expect(turnedRound(turnedRound(path))).toEqual(path);
    expect(turnedRound([straight(30, 0, 100, 0.1)])[0]).toEqual(DRIVE);
    expect(withDrive(path)).toBe(path);
  });

  it('is loaded, empty, or loaded on its climbs or declines alone', () => {
    const path = [straight(30, 0, 180, 0.1), straight(30, 2, 400, 0.1), straight(30, -2, 400, 0.1), curve(90, 0.05, 1, 400), DRIVE];
    const loads = (loaded: readonly PathSegment[]): readonly number[] => loaded.map((one) => (one.kind === 'drive' ? 0 : one.loadNPerM));
    expect(leastLoadNPerM(path)).toBe(180);
    expect(loads(loadedAs(path, 'loaded', 180))).toEqual([180, 400, 400, 400, 0]);
    expect(loads(loadedAs(path, 'empty', 180))).toEqual([180, 180, 180, 180, 0]);
    expect(loads(loadedAs(path, 'climbs-loaded', 180))).toEqual([180, 400, 180, 180, 0]);
    expect(loads(loadedAs(path, 'declines-loaded', 180))).toEqual([180, 180, 400, 180, 0]);
    expect(loads(loadedAs(path, 'empty', 300))).toEqual([180, 300, 300, 300, 0]);
    expect(leastLoadNPerM([DRIVE])).toBe(0);
  });
});
