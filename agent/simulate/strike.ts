import type { Conveyor } from '../site/site.js';
import type { Stand } from './chain-physics.js';
import { withCarriage, withSide, type ConveyorState } from './conveyor-state.js';
import type { PlantTrouble } from './trouble.js';

/**
 * The state when a trouble begins. What troubles do as time passes is no matter of this.
 *
 * @param stand - where the carriages are at that time
 * @param rawOf - what a signal reads at that time, noise left out; undefined for a signal that the conveyor does not have
 */
export function stateStruckBy(
  state: ConveyorState,
  trouble: PlantTrouble,
  conveyor: Conveyor,
  stand: Stand,
  rawOf: (signal: string) => number | undefined,
): ConveyorState {
  switch (trouble.kind) {
    case 'guide-seized': {
      const takeup = takeupOf(conveyor, trouble.takeup);
      return withCarriage(state, takeup, (carriage) => ({ ...carriage, heldMm: stand.carriages[takeup]?.xMm ?? null }));
    }
    case 'spring-broken':
      return withSide(state, takeupOf(conveyor, trouble.takeup), trouble.side, { shareLeft: trouble.shareLeft });
    case 'sensor-flat': {
      const raw = rawOf(trouble.signal);
      return raw === undefined ? state : { ...state, frozen: { ...state.frozen, [trouble.signal]: raw } };
    }
    default:
      return state;
  }
}

/** The state when a trouble is over: all that it did is mended. */
export function stateAfterTrouble(state: ConveyorState, trouble: PlantTrouble, conveyor: Conveyor): ConveyorState {
  switch (trouble.kind) {
    case 'guide-seized':
      return withCarriage(state, takeupOf(conveyor, trouble.takeup), (carriage) => ({ ...carriage, heldMm: null }));
    case 'guide-dragging':
      return withCarriage(state, takeupOf(conveyor, trouble.takeup), (carriage) => ({ ...carriage, dragMm: 0 }));
    case 'spring-relaxing':
      return withSide(state, takeupOf(conveyor, trouble.takeup), trouble.side, { sagMm: 0 });
    case 'spring-broken':
      return withSide(state, takeupOf(conveyor, trouble.takeup), trouble.side, { shareLeft: 1 });
    case 'chain-caught':
      return { ...state, caughtMm: 0 };
    case 'sensor-flat':
      return { ...state, frozen: Object.fromEntries(Object.entries(state.frozen).filter(([signal]) => signal !== trouble.signal)) };
    default:
      return state;
  }
}

function takeupOf(conveyor: Conveyor, id: string): number {
  return conveyor.takeups.findIndex((takeup) => takeup.id === id);
}
