/**
 * What follows from the wire of a cylindrical compression spring of round wire (EN 13906-1). Lengths in mm, forces in N,
 * stresses and moduli in MPa, rates in N/mm; diameters and coil counts above 0.
 */

/** The coil of a spring. */
export interface SpringCoil {
  readonly wireMm: number;
  readonly meanDiameterMm: number;
  readonly activeCoils: number;
}

/** Within these the formulas hold for cold-coiled springs (EN 13906-1). */
export const CALCULABLE = { leastIndex: 4, mostIndex: 20, leastActiveCoils: 2 } as const;

/** Spring index w = D/d. */
export function springIndex({ wireMm, meanDiameterMm }: Pick<SpringCoil, 'wireMm' | 'meanDiameterMm'>): number {
  return meanDiameterMm / wireMm;
}

/** Spring rate R = G·d⁴ / (8·D³·n), N/mm. Source: EN 13906-1. */
export function springRateNPerMm({ wireMm, meanDiameterMm, activeCoils }: SpringCoil, shearModulusMpa: number): number {
  return (shearModulusMpa * wireMm ** 4) / (8 * meanDiameterMm ** 3 * activeCoils);
}

/**
 * Solid length L_c, coils touching, mm: n_t·d with ground ends, (n_t + 1.5)·d with unground ends.
 * Source: EN 13906-1, with d the largest diameter that the wire's tolerance allows; the 1.5 from memory.
 */
export function solidLengthMm(totalCoils: number, wireMm: number, ends: 'ground' | 'unground'): number {
  return (ends === 'ground' ? totalCoils : totalCoils + 1.5) * wireMm;
}

/**
 * Sum of the least coil clearances S_a, mm: below solid + S_a a spring must not be used.
 * Cold-coiled: n·(0.0015·D²/d + 0.1·d), ×1.5 under dynamic load. Hot-coiled: 0.02·n·(D + d), ×2 under dynamic load.
 * Source: EN 13906-1; the hot-coiled formula from memory.
 */
export function leastClearanceMm(
  { wireMm, meanDiameterMm, activeCoils }: SpringCoil,
  coiled: 'cold' | 'hot',
  load: 'static' | 'dynamic',
): number {
  if (coiled === 'hot') return 0.02 * activeCoils * (meanDiameterMm + wireMm) * (load === 'dynamic' ? 2 : 1);
  return activeCoils * ((0.0015 * meanDiameterMm ** 2) / wireMm + 0.1 * wireMm) * (load === 'dynamic' ? 1.5 : 1);
}

/** Uncorrected shear stress τ = 8·D·F / (π·d³), MPa, at the force F in N. Source: EN 13906-1. */
export function shearStressMpa({ wireMm, meanDiameterMm }: Pick<SpringCoil, 'wireMm' | 'meanDiameterMm'>, forceN: number): number {
  return (8 * meanDiameterMm * forceN) / (Math.PI * wireMm ** 3);
}

/** Stress correction factor k = (w + 0.5) / (w − 0.75) for the curvature of the wire; w above 0.75. Source: EN 13906-1 (Bergsträsser). */
export function stressFactor(index: number): number {
  return (index + 0.5) / (index - 0.75);
}

/** Corrected shear stress τ_k = k·τ, MPa, at the force F in N: for springs under dynamic load. Source: EN 13906-1. */
export function correctedShearStressMpa(coil: Pick<SpringCoil, 'wireMm' | 'meanDiameterMm'>, forceN: number): number {
  return stressFactor(springIndex(coil)) * shearStressMpa(coil, forceN);
}
