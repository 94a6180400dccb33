import type { PathSegment } from '../site/site.js';
import { LOAD_CASES, type LoadCase, leastLoadNPerM, loadedAs } from './loop-path.js';
import { type LoopWalk, forceForLeastN, walkLoop } from './loop-walk.js';
import type { Turn } from './side-springs.js';
import { type TakeupPlace, takeupPlace } from './takeup-place.js';

export interface LoopInput {
  /** From the take-up in the direction of travel. */
  readonly path: readonly PathSegment[];
  readonly turn: Turn;
  /** F that the springs give now, N. */
  readonly carriageForceN: number;
  /** Least tension asked of the chain anywhere, N: the chain's own, or 0, at which it does not hang slack. */
  readonly leastTensionN: number;
  /** Moving load with empty carriers, N/m. Default: the least load of the path. */
  readonly emptyNPerM?: number | undefined;
}

export interface LoopCase {
  readonly load: LoadCase;
  readonly walk: LoopWalk;
  /** Carriage force for which the lowest tension reaches the least asked, N. */
  readonly forceNeededN: number;
  /** By how much the springs give more than that; below 0 they give too little. */
  readonly forceToSpareN: number;
  readonly place: TakeupPlace;
}

/** The worst cases are found, not assumed: which load they come with. */
export interface LoopTension {
  readonly cases: readonly LoopCase[];
  /** With the lowest tension anywhere, and the most carriage force needed. */
  readonly slackest: LoopCase;
  /** With the highest tension anywhere. */
  readonly tightest: LoopCase;
  /** With the most pull at the drive. */
  readonly hardest: LoopCase;
}

/** Tension around the loop under every load case, and the worst of them (mechanics §4). */
export function loopTension({ path, turn, carriageForceN, leastTensionN, emptyNPerM }: LoopInput): LoopTension {
  const empty = emptyNPerM ?? leastLoadNPerM(path);
  const cases = LOAD_CASES.map((load): LoopCase => {
    const loaded = loadedAs(path, load, empty);
    const walk = walkLoop(loaded, turn, carriageForceN);
    const forceNeededN = forceForLeastN(loaded, turn, leastTensionN);
    return { load, walk, forceNeededN, forceToSpareN: carriageForceN - forceNeededN, place: takeupPlace(walk) };
  });
  return {
    cases,
    slackest: most(cases, ({ walk }) => -walk.lowest.tensionN),
    tightest: most(cases, ({ walk }) => walk.highest.tensionN),
    hardest: most(cases, ({ walk }) => walk.drivePullN),
  };
}

/** The case with the most of something; the first of those that are alike. */
function most(cases: readonly LoopCase[], of: (one: LoopCase) => number): LoopCase {
  return cases.reduce((best, one) => (of(one) > of(best) ? one : best));
}
