import { planRemoval, type RemovalPlan } from '../../../../agent/plan/removal-plan.js';
import type { GivenFigures, TakeupState } from '../../../../agent/plan/takeup-state.js';
import { plant, standing, type PlantChange } from '../../../plan/plants.js';

/** The enamel line of the full fixture site, well out on its stroke: what a technician plans with. */
const FIGURES: GivenFigures = {
  ...{ positionMm: 210, elongationPct: 0.4, pitches: 3200, breathingMm: 4, thermalMm: 0, travelMmPerDay: 0.5 },
  ...{ springLeftMm: 285, springRightMm: 283 },
};

/** A plan of that line, with what is different. */
export function planWith(
  change: PlantChange = {},
  figures: GivenFigures = {},
): { readonly plan: RemovalPlan; readonly state: TakeupState } & ReturnType<typeof plant> {
  const here = plant(change);
  const state = standing(here, { ...FIGURES, ...figures });
  return { ...here, state, plan: planRemoval(here.conveyor, here.takeup, state) };
}
