import { strandTensionN } from '../flow/takeup/geometry.js';
import { sideForceN } from '../flow/takeup/spring-state.js';
import type { SideName } from '../site/site.js';
import { type BothSides, type SideSpring, type Turn, SIDES, carriageForceN, forBothSides, sideRateNPerMm } from './side-springs.js';

/** What is done to a chain and its take-up while it stands. */
export interface Work {
  /** Length of chain taken out, mm; 0 where only nuts are turned. */
  readonly chainOutMm: number;
  /** By how much each side's nut is run in, mm: turns · lead, positive compresses the spring. */
  readonly nutInMm: BothSides<number>;
  /** Chain that comes free by tension, mm/N: its own stretch n·p/EA, and what other take-ups let out (`othersGiveMmPerN`). */
  readonly giveMmPerN: number;
}

/** Where the carriage comes to rest. */
export interface Rest {
  /** How far the carriage has moved, mm; positive outwards. */
  readonly moveMm: number;
  readonly springMm: BothSides<number>;
  readonly forceN: BothSides<number>;
  readonly tensionN: number;
}

const WHICH_PUSH: readonly (readonly SideName[])[] = [[], ['left'], ['right'], SIDES];

/**
 * Where the carriage comes to rest after work on the chain or the nuts.
 *
 * Derivation (mechanics §2, §3): the path closes before and after, g·Δx = −out + give·(T′ − T), give = n·p/EA + Σ g²·(2+c)/(2K) over the
 * other take-ups; the springs follow the carriage and the nuts, L′ = L + Δx − z·s; and T′ = 2F′/(g·(2 + c)), F′ the sum of the side
 * forces, none below 0. For any choice of the sides that push this is linear in Δx. Σ max(0, fᵢ) is the greatest of the sums over any of the sides, and a greater force holds the carriage
 * further out, so the answer is the greatest Δx of those choices.
 *
 * Coils that touch are not held back here: a spring shorter than solid in the answer says that the work cannot be done so.
 *
 * @param sides - the springs as they are before the work
 */
export function settleCarriage(turn: Turn, sides: BothSides<SideSpring>, work: Work): Rest {
  const { chainOutMm, nutInMm, giveMmPerN } = work;
  const tensionN = (forceN: number): number => strandTensionN(forceN, turn.gain, turn.turnFriction);
  const beforeN = tensionN(carriageForceN(sides));
  const moves = WHICH_PUSH.map((pushing) => {
    let rateN = 0;
    let forceN = 0;
    for (const side of pushing) {
      const { spring, springMm } = sides[side];
      rateN += sideRateNPerMm(spring);
      forceN += sideRateNPerMm(spring) * (spring.freeMm - springMm + nutInMm[side]);
    }
    return (giveMmPerN * (tensionN(forceN) - beforeN) - chainOutMm) / (turn.gain + giveMmPerN * tensionN(rateN));
  });
  const moveMm = Math.max(...moves);
  const after = forBothSides((side) => ({ spring: sides[side].spring, springMm: sides[side].springMm + moveMm - nutInMm[side] }));
  return {
    moveMm,
    springMm: forBothSides((side) => after[side].springMm),
    forceN: forBothSides((side) => sideForceN(after[side].spring, after[side].springMm)),
    tensionN: tensionN(carriageForceN(after)),
  };
}
