import { LOAD_CASES, type LoadCase, leastLoadNPerM, loadedAs, turnedRound } from './loop-path.js';
import type { LoopInput } from './loop-tension.js';
import { type LoopWalk, forceForLeastN, walkLoop } from './loop-walk.js';

/** The loop run backwards under one load. */
export interface BackwardsCase {
  readonly load: LoadCase;
  /** Told in its own direction, with the force that the take-up then gives. */
  readonly walk: LoopWalk;
  readonly forceNeededN: number;
  /** Carriage force that it stands at: what the springs give, or what the pull draws them together to. */
  readonly carriageForceN: number;
}

/**
 * Tension around the loop run backwards, under every load. The take-up then stands on the tight side: its springs are drawn together
 * until the slack side has its least tension, or give more than that already (mechanics §4).
 */
export function backwardsCases({ path, turn, carriageForceN, leastTensionN, emptyNPerM }: LoopInput): readonly BackwardsCase[] {
  const back = turnedRound(path);
  const empty = emptyNPerM ?? leastLoadNPerM(path);
  return LOAD_CASES.map((load) => {
    const loaded = loadedAs(back, load, empty);
    const forceNeededN = forceForLeastN(loaded, turn, leastTensionN);
    const standsAtN = Math.max(carriageForceN, forceNeededN);
    return { load, walk: walkLoop(loaded, turn, standsAtN), forceNeededN, carriageForceN: standsAtN };
  });
}
