import { planRemoval } from '../../../../agent/plan/removal-plan.js';
import { removalCard } from '../../../../agent/plan/removal-card.js';
import type { UnitSystem } from '../../../../agent/units/display.js';
import type { CardAnswer, FilledBlank } from '../../../../web/server/logic/card-answers.js';
import { plant, standing, type PlantChange } from '../../../plan/plants.js';

/** A job card as the server tells it: so many pitches to come out of the enamel line. */
export function cardWith(
  pitches: number,
  different: Partial<CardAnswer> = {},
  change: PlantChange = {},
  units: UnitSystem = 'metric',
): CardAnswer {
  const here = plant(change);
  const figures = {
    positionMm: 210,
    elongationPct: 0.4,
    pitches: 3200,
    breathingMm: 4,
    thermalMm: 0,
    springLeftMm: 285,
    springRightMm: 283,
  };
  const state = standing(here, figures);
  const plan = planRemoval(here.conveyor, here.takeup, state);
  const choice = plan.choices.find((one) => one.pitches === pitches);
  if (choice === undefined) throw new Error(`the plan has no removal of ${String(pitches)} pitches`);
  const place = {
    siteName: 'Alder Point Cookware',
    conveyorName: 'Enamel furnace line',
    takeupId: 'tu1',
    location: 'column C14, after the drive',
  };
  const card = removalCard({
    place,
    takeup: here.takeup,
    state,
    plan,
    choice,
    minSpacingMm: here.conveyor.carriers?.minSpacingMm,
    system: units,
  });
  return {
    ...{ number: 12, conveyor: 'line1', takeup: 'tu1', job: { kind: 'removal', pitches }, title: card.title, state: 'open', version: 1 },
    ...{ madeBy: 'kari', madeAt: '2026-03-02T07:00:00Z', steps: { done: 0, all: 30 }, card, units, ticks: {}, blanks: {}, entries: [] },
    basis: {
      ...{ source: 'live', asOf: '2026-03-02T06:50:00Z', ageMs: 600_000, figures, given: [], assumed: [], warnings: [] },
      sentence: 'From the live picture: the carriage settled 10 minutes ago.',
    },
    ...different,
  };
}

/** A blank as somebody filled it in. */
export function filled(value: string | number, by: string, version: number): FilledBlank {
  return { value, by, version, at: '2026-03-02T08:00:00Z' };
}
