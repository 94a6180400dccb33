import type { Conveyor } from '../site/site.js';

export type CarrierSpacing = NonNullable<Conveyor['carriers']>;

/** What a removal does to the carriers. Lengths are nominal, in mm: worn chain is longer, so a gap is never less than said. */
export interface CarrierChange {
  /** Carriers to take off. */
  readonly off: number;
  /** Gaps that become one: one more than carriers come off. */
  readonly gapsJoined: number;
  /** Distance between the carriers on either side of the joint afterwards. */
  readonly gapLeftMm: number;
  /** In how many places the same length may be taken out with every carrier kept; null where a gap has nothing to give. */
  readonly placesKeepingAll: number | null;
}

/** Guards a length that is exactly at the least spacing against the last binary digit. */
const SLIVER_MM = 1e-6;

/**
 * Carriers to take off so that no gap falls below the least spacing (mechanics §8): the fewest gaps m to join with m·s − r ≥ s_min.
 *
 * @param lengthMm - nominal length r taken out in one place, above 0
 * @param repeatMm - nominal length of the chain's repeat, above 0: the least that can be taken out in a place
 */
export function carrierChange(lengthMm: number, repeatMm: number, { spacingMm, minSpacingMm }: CarrierSpacing): CarrierChange {
  const gapsJoined = Math.max(1, Math.ceil((lengthMm + minSpacingMm - SLIVER_MM) / spacingMm));
  const fromOneGap = longestKeepingCarriersMm(repeatMm, { spacingMm, minSpacingMm });
  return {
    off: gapsJoined - 1,
    gapsJoined,
    gapLeftMm: gapsJoined * spacingMm - lengthMm,
    placesKeepingAll: fromOneGap > 0 ? Math.ceil((lengthMm - SLIVER_MM) / fromOneGap) : null,
  };
}

/** The longest length, a multiple of the repeat, that one gap can give without a carrier coming off; 0 where it can give none. */
export function longestKeepingCarriersMm(repeatMm: number, { spacingMm, minSpacingMm }: CarrierSpacing): number {
  return Math.floor((spacingMm - minSpacingMm + SLIVER_MM) / repeatMm) * repeatMm;
}

/** Carriers on the chain when they hang at their spacing throughout. */
export function carriersOnChain(nominalMm: number, { spacingMm }: CarrierSpacing): number {
  return Math.floor((nominalMm + SLIVER_MM) / spacingMm);
}
