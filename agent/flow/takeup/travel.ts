import type { Conveyor } from '../../site/site.js';

/** What of a take-up decides its share of the chain's lengthening. */
export interface SharingTakeup {
  /** Reeving gain g. */
  readonly gain: number;
  /** K, the rate of all springs of the take-up, both sides, in N/mm: the carriage force falls by so much per mm outwards. */
  readonly springRateNPerMm: number;
}

/**
 * Carriage travel of each take-up per mm of wear of the chain, in mm/mm: (gᵢ/Kᵢ) / (n·p/EA + Σ g²/K).
 *
 * Derivation (mechanics §2, §6): the path closes, n·p·dε + n·p·dT/EA = Σ gᵢ·dxᵢ, and at each take-up the strand tension follows its
 * springs, gᵢ·dT = −Kᵢ·dxᵢ. With one take-up this is 1 / (g + n·p·K/(EA·g)), and 1/g where the chain does not stretch. The
 * relaxing springs let the chain shrink, so travel comes out less than wear/g. Holds while the springs push.
 *
 * @param nominalMm - n·p
 * @param stiffnessN - EA; undefined where none is given: the chain does not stretch
 * @param takeups - all take-ups on the chain
 */
export function travelPerWear(nominalMm: number, stiffnessN: number | undefined, takeups: readonly SharingTakeup[]): readonly number[] {
  const stretch = stiffnessN === undefined ? 0 : nominalMm / stiffnessN;
  const springs = takeups.reduce((sum, { gain, springRateNPerMm }) => sum + gain ** 2 / springRateNPerMm, 0);
  return takeups.map(({ gain, springRateNPerMm }) => gain / springRateNPerMm / (stretch + springs));
}

/**
 * Carriage travel of one take-up per mm by which its chain grows, by the springs of the site file, in mm/mm: 1/g for one take-up on a
 * chain that does not stretch, less where others share the growth or the chain gives way to the springs.
 */
export function carriagePerChainMm({ chain, takeups }: Pick<Conveyor, 'chain' | 'takeups'>, index: number): number {
  const sharing = takeups.map(({ gain, spring }) => ({ gain, springRateNPerMm: 2 * spring.perSide * spring.rateNPerMm }));
  const stiffnessN = chain.stiffnessKn === undefined ? undefined : chain.stiffnessKn * 1000;
  return travelPerWear(chain.pitches * chain.pitchMm, stiffnessN, sharing)[index] ?? NaN;
}
