import type { Spring } from '../../site/site.js';

/** Where a side's nut is set: at this carriage position the spring has this length. */
export interface NutSet {
  readonly positionMm: number;
  readonly springMm: number;
}

/** How a side stands: where its nut is set, and which spring it has. */
export interface SideSetting {
  readonly set: NutSet;
  readonly spring: Spring;
}

/**
 * Length of a spring that has no sensor of its own: followed from the carriage, L = L_set + (x − x_set).
 * As the chain wears the carriage moves out and the spring grows longer.
 */
export function followedSpringMm(set: NutSet, positionMm: number): number {
  return set.springMm + (positionMm - set.positionMm);
}

/** A spring longer than free pushes with nothing. Force of one side: n·R·(free − L), in N. */
export function sideForceN(spring: Spring, springMm: number): number {
  return spring.perSide * spring.rateNPerMm * Math.max(0, spring.freeMm - springMm);
}

/** Margin to coils touching: L − solid, in mm. */
export function marginToSolidMm(spring: Spring, springMm: number): number {
  return springMm - spring.solidMm;
}

/** Margin to the shortest usable length: L − (solid + S_a), in mm. */
export function usableMarginMm(spring: Spring, springMm: number): number {
  return springMm - (spring.solidMm + spring.clearanceMm);
}

/** Share of the spring's travel in use: compression over (free − solid). */
export function shareUsed(spring: Spring, springMm: number): number {
  return (spring.freeMm - springMm) / (spring.freeMm - spring.solidMm);
}
