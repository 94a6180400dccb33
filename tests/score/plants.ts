import { chainWorkPlants } from './chain-work-plants.js';
import { healthyPlants } from './healthy-plants.js';
import { mechanicalPlants } from './mechanical-plants.js';
import type { ScorePlant } from './plant.js';
import { signalPlants } from './signal-plants.js';

/** The whole test set, but for the many short plants on which intervals are proved. */
export function scorePlants(): ScorePlant[] {
  return [...healthyPlants(), ...chainWorkPlants(), ...mechanicalPlants(), ...signalPlants()];
}
