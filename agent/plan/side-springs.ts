import { strandTensionN } from '../flow/takeup/geometry.js';
import { followedSpringMm, sideForceN } from '../flow/takeup/spring-state.js';
import type { SideName, Spring, Takeup } from '../site/site.js';

/** The springs of one side, and how long they are. */
export interface SideSpring {
  readonly spring: Spring;
  readonly springMm: number;
}

export type BothSides<T> = Readonly<Record<SideName, T>>;

/** What of a take-up decides which carriage force gives which strand tension. */
export type Turn = Pick<Takeup, 'gain' | 'turnFriction'>;

export const SIDES = ['left', 'right'] as const satisfies readonly SideName[];

/** One value for each side. */
export function forBothSides<T>(of: (side: SideName) => T): BothSides<T> {
  return { left: of('left'), right: of('right') };
}

/** Rate of all springs of one side, N/mm: equal springs in parallel add up. */
export function sideRateNPerMm({ perSide, rateNPerMm }: Spring): number {
  return perSide * rateNPerMm;
}

/** Carriage force F = Σ sides, N. */
export function carriageForceN(sides: BothSides<SideSpring>): number {
  return sideForceN(sides.left.spring, sides.left.springMm) + sideForceN(sides.right.spring, sides.right.springMm);
}

/** Carriage force that gives a strand tension: F = T·g·(2 + c)/2, the inverse of `strandTensionN`; g·T without turn friction. */
export function forceForTensionN(tensionN: number, { gain, turnFriction }: Turn): number {
  return (tensionN * gain * (2 + turnFriction)) / 2;
}

/** Length at which the springs of a side push with a force, mm. Beyond the solid length it is a figure only: look at the margins. */
export function lengthForForceMm(spring: Spring, forceN: number): number {
  return spring.freeMm - forceN / sideRateNPerMm(spring);
}

/** The springs of a take-up as the site has them set, followed to where the carriage stands (mechanics §3). */
export function springsAsSet(takeup: Takeup, positionMm: number): BothSides<SideSpring> {
  return forBothSides((side) => ({ spring: takeup.spring, springMm: followedSpringMm(takeup.sides[side].set, positionMm) }));
}

/** The strand tension that follows from the springs as set, with the carriage at the reference (contracts §1). */
export function referenceTensionN(takeup: Takeup): number {
  return strandTensionN(carriageForceN(springsAsSet(takeup, takeup.reference.positionMm)), takeup.gain, takeup.turnFriction);
}
