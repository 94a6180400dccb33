import { defaultScenario } from '../simulate/default-scenario.js';
import type { PlantScenario } from '../simulate/scenario.js';
import type { Site } from '../site/site.js';

export function demoScenario(site: Site, _historyStartMs: number, _liveStartMs: number): PlantScenario {
  return defaultScenario(site);
}
