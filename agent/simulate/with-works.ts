import type { ServiceEntry } from '../contract/service-entry.js';
import { applyCorrections } from '../contract/service-entry-corrections.js';
import type { PlantScenario } from './scenario.js';
import { RIGHTLY } from './work.js';

/**
 * A scenario with work on top: each entry, corrections applied, is done at its time and recorded as it is done.
 *
 * @param entries - of the site's conveyors
 */
export function withWorks(scenario: PlantScenario, entries: readonly ServiceEntry[]): PlantScenario {
  const works = applyCorrections(entries).entries.map((entry) => ({ entry, record: RIGHTLY }));
  return {
    ...scenario,
    conveyors: Object.fromEntries(
      Object.entries(scenario.conveyors).map(([id, conveyor]) => [
        id,
        { ...conveyor, works: [...conveyor.works, ...works.filter(({ entry }) => entry.conveyor === id)] },
      ]),
    ),
  };
}
