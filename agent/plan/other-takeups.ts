import type { Conveyor, Takeup } from '../site/site.js';
import { forceForTensionN, sideRateNPerMm } from './side-springs.js';

/** What becomes of another take-up of the chain whose nuts nobody turns. */
export interface OtherMove {
  readonly takeup: string;
  readonly location: string;
  /** mm of carriage, positive outwards. */
  readonly moveMm: number;
}

type Shared = Pick<Conveyor, 'takeups'>;

/**
 * What the other take-ups of a chain do when its tension changes, their nuts left alone: Δx = −ΔT·g·(2+c)/(2K), K the rate of all
 * springs of the take-up, since F = T·g·(2+c)/2 falls by K a millimetre outwards (mechanics §1, §3). The tension is taken to change alike
 * all around the loop, and their springs to push before and after.
 */
export function otherMoves({ takeups }: Shared, takeup: Pick<Takeup, 'id'>, tensionChangeN: number): readonly OtherMove[] {
  return takeups
    .filter(({ id }) => id !== takeup.id)
    .map((other) => ({ takeup: other.id, location: other.location, moveMm: 0 - tensionChangeN * moveMmPerN(other) }));
}

/**
 * Chain that the other take-ups let out for every newton more of tension, mm/N: Σ g²·(2+c)/(2K). It comes to the one that is worked at like
 * the chain's own stretch n·p/EA (mechanics §2: C + Σ gᵢ·xᵢ closes with the same chain). 0 where there is no other.
 */
export function othersGiveMmPerN({ takeups }: Shared, takeup: Pick<Takeup, 'id'>): number {
  return takeups.filter(({ id }) => id !== takeup.id).reduce((sum, other) => sum + other.gain * moveMmPerN(other), 0);
}

function moveMmPerN(takeup: Takeup): number {
  return forceForTensionN(1, takeup) / (2 * sideRateNPerMm(takeup.spring));
}
