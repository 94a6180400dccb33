import type { Chain, Conveyor } from '../../site/site.js';

/**
 * The path closes: n·p·(1+ε) + thermal + elastic = C + Σ gᵢ·xᵢ (mechanics §2). All lengths in mm of chain, ε as a ratio (0.01 = 1 %).
 */

/** Length of the chain if it were new and at the reference: n·p. */
export function nominalLengthMm(pitches: number, chain: Chain): number {
  return pitches * chain.pitchMm;
}

/** The constant of the track, from a known state of the chain. */
export function trackConstantMm(nominalMm: number, elongation: number, takenUpMm: number, thermalMm: number, elasticMm: number): number {
  return nominalMm * (1 + elongation) + thermalMm + elasticMm - takenUpMm;
}

/** Mean elongation of the chain in the circuit, as a ratio. */
export function elongationRatio(nominalMm: number, trackMm: number, takenUpMm: number, thermalMm: number, elasticMm: number): number {
  return (trackMm + takenUpMm - thermalMm - elasticMm) / nominalMm - 1;
}

/**
 * What heat adds to the chain beyond what it adds to the track, in mm: (α − α_track)·[Σ zones + rest·(T − T_ref)].
 * @param zoneHeat - Σ length·(T − T_ref) over the zones, mm·°C
 * @param ambientHeat - T − T_ref of the rest of the path, °C
 */
export function thermalMm(conveyor: Conveyor, nominalMm: number, zoneHeat: number, ambientHeat: number): number {
  const { chain, zones } = conveyor;
  const rest = nominalMm - zones.reduce((sum, zone) => sum + zone.lengthMm, 0);
  return (chain.expansionPerC - chain.trackExpansionPerC) * (zoneHeat + (ambientHeat === 0 ? 0 : rest * ambientHeat));
}

/** What tension adds to the chain, in mm: (T − T_ref)·n·p/(EA); 0 where no stiffness is given. */
export function elasticMm(chain: Chain, nominalMm: number, strandTensionN: number, referenceTensionN: number): number {
  if (chain.stiffnessKn === undefined) return 0;
  return ((strandTensionN - referenceTensionN) * nominalMm) / (chain.stiffnessKn * 1000);
}

/** How far a removal of so many pitches draws the carriage in, in mm: k·p·(1+ε)/g. */
export function drawInMm(pitches: number, chain: Chain, elongation: number, gain: number): number {
  return (pitches * chain.pitchMm * (1 + elongation)) / gain;
}

/**
 * How many pitches a move of the carriage stands for: positive for chain taken out (the carriage came in).
 * @param carriagePerChainMm - travel of this carriage per mm of chain: 1/g, less where take-ups share the chain or it stretches
 */
export function pitchesOfMove(moveMm: number, chain: Chain, elongation: number, carriagePerChainMm: number): number {
  return -moveMm / (carriagePerChainMm * chain.pitchMm * (1 + elongation));
}
