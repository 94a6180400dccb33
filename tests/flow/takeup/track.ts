import { DEFAULT_FILTER, type PositionFilter } from '../../../agent/flow/position/position-filter.js';
import { Sampler } from '../../../agent/flow/sample/sampler.js';
import { SideTrack, TakeupTrack } from '../../../agent/flow/takeup/takeup-track.js';
import type { Takeup } from '../../../agent/site/site.js';

/** A take-up of which nothing has been read yet, its nuts as the site set them. */
export function trackOf(takeup: Takeup): TakeupTrack {
  const sides = [takeup.sides.left, takeup.sides.right].map(
    (one) =>
      new SideTrack(
        one,
        new Sampler(one.position),
        one.spring && new Sampler(one.spring),
        { set: one.set, spring: takeup.spring },
        DEFAULT_FILTER,
      ),
  );
  return new TakeupTrack(takeup, sides[0]!, sides[1]!);
}

/** Lets a side read the same position until the filter has judged some of it. */
export function readPosition(one: SideTrack, mm: number): void {
  for (let i = 0; i < 6; i++) {
    one.positionSampler.push(i * 10_000, mm);
    readThrough(one.position, i * 10_000, mm);
  }
}

/** Likewise for the sensor of its spring. */
export function readSpring(one: SideTrack, mm: number): void {
  for (let i = 0; i < 6; i++) {
    one.springSampler!.push(i * 1000, mm);
    readThrough(one.springFilter!, i * 1000, mm);
  }
}

function readThrough(filter: PositionFilter, timeMs: number, mm: number): void {
  filter.stage(timeMs, mm);
  filter.judgeStaged();
  while (filter.taken < filter.judgedUpTo(0)) filter.takeNext();
}
