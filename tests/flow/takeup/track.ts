import { DEFAULT_FILTER } from '../../../agent/flow/position/position-filter.js';
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
    const count = one.position.hampel.push(i * 10_000, mm);
    for (let j = 0; j < count; j++) one.position.take(j);
  }
}

/** Likewise for the sensor of its spring. */
export function readSpring(one: SideTrack, mm: number): void {
  for (let i = 0; i < 6; i++) {
    one.springSampler!.push(i * 1000, mm);
    const count = one.springFilter!.hampel.push(i * 1000, mm);
    for (let j = 0; j < count; j++) one.springFilter!.take(j);
  }
}
