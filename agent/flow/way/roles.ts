import { conveyorSignals, type Conveyor, type Signal } from '../../site/site.js';

/** What a signal of a conveyor is to its way. */
export type Role =
  | { readonly kind: 'position'; readonly takeup: number; readonly side: 0 | 1 }
  | { readonly kind: 'spring'; readonly takeup: number; readonly side: 0 | 1 }
  | { readonly kind: 'running' }
  | { readonly kind: 'speed' }
  | { readonly kind: 'temperature'; readonly zone: number };

/** The role of each signal of a conveyor, in the order of `conveyorSignals`. */
export function rolesOf(conveyor: Conveyor): Role[] {
  const roles = new Map<Signal, Role>();
  if (conveyor.running) roles.set(conveyor.running, { kind: 'running' });
  if (conveyor.speed) roles.set(conveyor.speed, { kind: 'speed' });
  conveyor.zones.forEach((zone, index) => roles.set(zone.temperature, { kind: 'temperature', zone: index }));
  if (conveyor.ambient) roles.set(conveyor.ambient.temperature, { kind: 'temperature', zone: conveyor.zones.length });
  conveyor.takeups.forEach((takeup, index) => {
    ([takeup.sides.left, takeup.sides.right] as const).forEach((side, at) => {
      const place = { takeup: index, side: at as 0 | 1 };
      roles.set(side.position, { kind: 'position', ...place });
      if (side.spring) roles.set(side.spring, { kind: 'spring', ...place });
    });
  });
  return conveyorSignals(conveyor).map((signal) => roles.get(signal) as Role);
}
