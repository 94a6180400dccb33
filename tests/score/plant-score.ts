import { dateErrors, type DateError } from './forecast-score.js';
import { elongationError, falseAlarms, foundIn, type ElongationError, type FalseAlarm, type Found } from './judge.js';
import { naiveAlarms, naiveFound, naivePitches } from './naive-judge.js';
import type { ScorePlant } from './plant.js';
import { runPlant } from './run-plant.js';

/** What one plant of the test set scores. */
export interface PlantScore {
  readonly plant: ScorePlant;
  readonly elongation: ElongationError;
  readonly found: readonly Found[];
  readonly falseAlarms: readonly FalseAlarm[];
  readonly dates: readonly DateError[];
  readonly naive: {
    readonly alarms: number;
    readonly found: number;
    /** Removals and insertions whose count it gets right. */
    readonly counts: number;
  };
}

export function scoreOf(plant: ScorePlant): PlantScore {
  const run = runPlant(plant);
  const counted = plant.expects.filter(({ pitches }) => pitches !== undefined);
  return {
    plant,
    elongation: elongationError(run),
    found: foundIn(run),
    falseAlarms: falseAlarms(run),
    dates: dateErrors(run),
    naive: {
      alarms: naiveAlarms(run),
      found: plant.expects.filter((expected) => naiveFound(run, expected)).length,
      counts: counted.filter(({ from, pitches }) => typeof from === 'number' && naivePitches(run, from) === pitches).length,
    },
  };
}
