import { springLengths } from './resolve-spring.js';
import type { SpringFile } from './schema.js';
import type { Complaint, FaultRule, SitePath, WarningRule } from './site-fault.js';
import type { Sound } from './sound.js';
import { CALCULABLE, springIndex } from '../units/spring-from-wire.js';

type Found = Generator<Complaint<FaultRule | WarningRule>>;

/** What the figures of a spring say about one another. */
export function* checkSpring(spring: Sound<SpringFile>, path: SitePath): Found {
  const { freeMm, solidMm, clearanceMm } = springLengths(spring);
  if ('wire_mm' in spring) yield* checkWire(spring, path);
  if (freeMm === undefined || solidMm === undefined) return;
  const key = 'solid_mm' in spring ? 'solid_mm' : 'free_mm';
  if (solidMm >= freeMm) {
    yield {
      path: [...path, key],
      at: 'value',
      rule: 'spring-solid',
      message: `the solid length, ${mm(solidMm)}, must be below the free length, ${mm(freeMm)}`,
    };
  } else if (clearanceMm !== undefined && solidMm + clearanceMm >= freeMm) {
    yield {
      path: [...path, 'clearance_mm' in spring ? 'clearance_mm' : key],
      at: 'value',
      rule: 'spring-clearance',
      message: `solid length and clearance, ${mm(solidMm)} + ${mm(clearanceMm)}, leave nothing of the free length, ${mm(freeMm)}`,
    };
  }
}

function* checkWire(spring: Extract<Sound<SpringFile>, { wire_mm?: unknown }>, path: SitePath): Found {
  const { wire_mm: wireMm, mean_diameter_mm: meanDiameterMm, active_coils: active, total_coils: total } = spring;
  if (active !== undefined && total !== undefined && total < active) {
    yield {
      path: [...path, 'total_coils'],
      at: 'value',
      rule: 'spring-coils',
      message: `${String(total)} coils in all are fewer than the ${String(active)} active ones`,
    };
  }
  if (wireMm !== undefined && meanDiameterMm !== undefined) {
    const index = springIndex({ wireMm, meanDiameterMm });
    const at = { path: [...path, 'mean_diameter_mm'], at: 'value' } as const;
    if (index <= 1) {
      yield {
        ...at,
        rule: 'spring-coils',
        message: `a wire of ${mm(wireMm)} cannot be coiled to a mean diameter of ${mm(meanDiameterMm)}`,
      };
    } else if (spring.coiled !== 'hot' && (index < CALCULABLE.leastIndex || index > CALCULABLE.mostIndex)) {
      yield {
        ...at,
        rule: 'spring-index',
        message: `the spring index D/d is ${index.toFixed(1)}; EN 13906-1 holds for cold-coiled springs from ${String(CALCULABLE.leastIndex)} to ${String(CALCULABLE.mostIndex)}`,
      };
    }
  }
  if (spring.coiled !== 'hot' && active !== undefined && active < CALCULABLE.leastActiveCoils) {
    yield {
      path: [...path, 'active_coils'],
      at: 'value',
      rule: 'spring-few-coils',
      message: `EN 13906-1 holds for cold-coiled springs of at least ${String(CALCULABLE.leastActiveCoils)} active coils`,
    };
  }
}

/** A length for a person, to a hundredth of a millimetre at most. */
export function mm(value: number): string {
  return `${String(Number(value.toFixed(2)))} mm`;
}
