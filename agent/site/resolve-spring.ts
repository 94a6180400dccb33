import { DEFAULTS } from './defaults.js';
import type { SpringFile } from './schema.js';
import type { Spring, SpringWire } from './site.js';
import type { Sound } from './sound.js';
import { leastClearanceMm, solidLengthMm, springRateNPerMm } from '../units/spring-from-wire.js';

type WireFile = Extract<SpringFile, { wire_mm: number }>;

/** The spring of the file with its rate, solid length and clearance, given or worked out (EN 13906-1). */
export function resolveSpring(file: SpringFile): Spring {
  const perSide = file.per_side ?? DEFAULTS.springsPerSide.value;
  if (!('wire_mm' in file)) {
    return { freeMm: file.free_mm, rateNPerMm: file.rate_n_per_mm, solidMm: file.solid_mm, clearanceMm: file.clearance_mm, perSide };
  }
  const wire = resolveWire(file);
  return {
    freeMm: file.free_mm,
    rateNPerMm: springRateNPerMm(wire, wire.shearModulusMpa),
    solidMm: solidLengthMm(wire.totalCoils, wire.wireMm, wire.ends),
    clearanceMm: file.clearance_mm ?? leastClearanceMm(wire, wire.coiled, wire.load),
    perSide,
    wire,
  };
}

function resolveWire(file: WireFile): SpringWire {
  return {
    wireMm: file.wire_mm,
    meanDiameterMm: file.mean_diameter_mm,
    activeCoils: file.active_coils,
    totalCoils: file.total_coils,
    shearModulusMpa: file.shear_modulus_mpa ?? DEFAULTS.shearModulusMpa.value,
    ends: file.ends,
    coiled: file.coiled ?? DEFAULTS.coiled.value,
    load: file.load ?? DEFAULTS.load.value,
  };
}

/** The lengths of a spring, as far as a file with faults lets them be known. */
export interface SpringLengths {
  readonly freeMm?: number | undefined;
  readonly solidMm?: number | undefined;
  readonly clearanceMm?: number | undefined;
}

/** The lengths that follow from what is sound in the file. */
export function springLengths(spring: Sound<SpringFile>): SpringLengths {
  const freeMm = spring.free_mm;
  if (!('wire_mm' in spring)) {
    return { freeMm, solidMm: 'solid_mm' in spring ? spring.solid_mm : undefined, clearanceMm: spring.clearance_mm };
  }
  const { wire_mm: wireMm, mean_diameter_mm: meanDiameterMm, active_coils: activeCoils, total_coils: totalCoils, ends } = spring;
  const solidMm =
    wireMm === undefined || totalCoils === undefined || ends === undefined ? undefined : solidLengthMm(totalCoils, wireMm, ends);
  const clearanceMm =
    wireMm === undefined || meanDiameterMm === undefined || activeCoils === undefined
      ? undefined
      : leastClearanceMm(
          { wireMm, meanDiameterMm, activeCoils },
          spring.coiled ?? DEFAULTS.coiled.value,
          spring.load ?? DEFAULTS.load.value,
        );
  return { freeMm, solidMm, clearanceMm: spring.clearance_mm ?? clearanceMm };
}
