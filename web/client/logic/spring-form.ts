import {
  CALCULABLE,
  correctedShearStressMpa,
  leastClearanceMm,
  shearStressMpa,
  solidLengthMm,
  springIndex,
  springRateNPerMm,
} from '../../../agent/units/spring-from-wire.js';

/** A spring as it is typed: lengths in mm. */
export interface SpringForm {
  readonly wireMm: number;
  readonly meanDiameterMm: number;
  readonly activeCoils: number;
  readonly totalCoils: number;
  readonly shearModulusMpa: number;
  readonly freeMm: number;
  readonly ends: 'ground' | 'unground';
  readonly coiled: 'cold' | 'hot';
  readonly load: 'static' | 'dynamic';
}

/** What follows from the wire (EN 13906-1, mechanics §3), or what is wrong with what was typed. */
export type SpringFigures =
  | {
      readonly ok: true;
      readonly index: number;
      readonly rateNPerMm: number;
      readonly solidMm: number;
      readonly clearanceMm: number;
      readonly shortestMm: number;
      readonly forceAtShortestN: number;
      readonly forceAtSolidN: number;
      readonly stressAtShortestMpa: number;
      readonly correctedAtShortestMpa: number;
      readonly stressAtSolidMpa: number;
      readonly warnings: readonly string[];
    }
  | { readonly ok: false; readonly why: string };

/** Works a spring out from its wire. */
export function springFigures(form: SpringForm): SpringFigures {
  const { wireMm, meanDiameterMm, activeCoils, totalCoils, shearModulusMpa, freeMm, ends, coiled, load } = form;
  if (![wireMm, meanDiameterMm, activeCoils, totalCoils, shearModulusMpa, freeMm].every((value) => value > 0 && Number.isFinite(value))) {
    return { ok: false, why: 'Every field takes a number above 0.' };
  }
  if (meanDiameterMm <= wireMm)
    return { ok: false, why: 'The mean diameter of the coils must be above the wire: measure outside and take the wire off.' };
  if (totalCoils < activeCoils) return { ok: false, why: 'There are at least as many coils in all as active ones.' };
  const rate = springRateNPerMm(form, shearModulusMpa);
  const solidMm = solidLengthMm(totalCoils, wireMm, ends);
  const clearanceMm = leastClearanceMm(form, coiled, load);
  if (solidMm >= freeMm) return { ok: false, why: 'Solid it would be longer than free: look at coils, wire and free length.' };
  const shortestMm = solidMm + clearanceMm;
  const index = springIndex(form);
  const forceAtShortestN = Math.max(0, rate * (freeMm - shortestMm));
  const forceAtSolidN = rate * (freeMm - solidMm);
  return {
    ok: true,
    ...{ index, rateNPerMm: rate, solidMm, clearanceMm, shortestMm, forceAtShortestN, forceAtSolidN },
    stressAtShortestMpa: shearStressMpa(form, forceAtShortestN),
    correctedAtShortestMpa: correctedShearStressMpa(form, forceAtShortestN),
    stressAtSolidMpa: shearStressMpa(form, forceAtSolidN),
    warnings: warningsOf(form, index, shortestMm),
  };
}

function warningsOf({ activeCoils, freeMm, coiled }: SpringForm, index: number, shortestMm: number): readonly string[] {
  const { leastIndex, mostIndex, leastActiveCoils } = CALCULABLE;
  return [
    ...(coiled === 'cold' && (index < leastIndex || index > mostIndex)
      ? [`The formulas hold for a spring index of ${leastIndex} to ${mostIndex}.`]
      : []),
    ...(activeCoils < leastActiveCoils ? [`The formulas hold from ${leastActiveCoils} active coils on.`] : []),
    ...(shortestMm >= freeMm ? ['With its least coil clearances it has no travel left.'] : []),
  ];
}

/** The wire as it stands in a site file. */
export function springYaml({
  wireMm,
  meanDiameterMm,
  activeCoils,
  totalCoils,
  shearModulusMpa,
  freeMm,
  ends,
  coiled,
  load,
}: SpringForm): string {
  const numbers = {
    wire_mm: wireMm,
    mean_diameter_mm: meanDiameterMm,
    active_coils: activeCoils,
    total_coils: totalCoils,
    shear_modulus_mpa: shearModulusMpa,
    free_mm: freeMm,
  };
  const fields = Object.entries(numbers).map(([key, value]) => `${key}: ${String(Number(value.toFixed(4)))}`);
  return `spring: { ${[...fields, `ends: ${ends}`, `coiled: ${coiled}`, `load: ${load}`, 'per_side: 1'].join(', ')} }`;
}
