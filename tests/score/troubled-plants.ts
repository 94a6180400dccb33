import type { ScorePlant } from './plant.js';
export function troubledPlants(): ScorePlant[] {
  return [];
}
