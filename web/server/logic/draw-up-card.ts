import type { CardPlace } from '../../../agent/plan/card-sections.js';
import type { JobCard } from '../../../agent/plan/job-card.js';
import type { PlannedJob } from '../../../agent/plan/job-check.js';
import { nutCard } from '../../../agent/plan/nut-card.js';
import type { NutPlan } from '../../../agent/plan/nut-plan.js';
import { nutsOfTakeup } from '../../../agent/plan/nuts-of-takeup.js';
import { removalCard } from '../../../agent/plan/removal-card.js';
import { planOneRemoval, planRemoval } from '../../../agent/plan/removal-plan.js';
import { stopSentence } from '../../../agent/plan/removal-words.js';
import { forBothSides, referenceTensionN } from '../../../agent/plan/side-springs.js';
import { type TakeupState, stateFaultSentence, takeupState } from '../../../agent/plan/takeup-state.js';
import type { CardJob } from './card-answers.js';
import type { BasisAnswer } from './plan-answers.js';
import { type PlanPlace, wishWithReversing } from './plan-answer.js';
import { type PlanBasis, withAssumptions } from './plan-basis.js';
import type { PlanQuery } from './plan-query.js';

/** A sheet drawn up for a job, and what the carriage can be asked for afterwards. */
export interface DrawnUp {
  readonly card: JobCard;
  readonly planned: PlannedJob;
  readonly basis: BasisAnswer;
}

export type Drawing = ({ readonly ok: true } & DrawnUp) | { readonly ok: false; readonly refused: readonly string[] };

/** Draws up the card of a job from the very plan that its maker looked at, or says why it cannot be done. */
export function drawUpCard(place: PlanPlace, siteName: string, basis: PlanBasis, job: CardJob, query: PlanQuery): Drawing {
  const reading = takeupState(place.conveyor, place.takeup, basis.figures);
  if (!reading.ok) return { ok: false, refused: reading.faults.map((fault) => `To plan it, ${stateFaultSentence(fault, place.units)}.`) };
  const { state } = reading;
  const at: CardPlace = {
    siteName,
    conveyorName: place.conveyor.name,
    takeupId: place.takeup.id,
    location: place.takeup.location,
  };
  const drawn = job.kind === 'removal' ? removal(place, at, state, job.pitches, query) : nuts(place, at, state, job.to, query);
  return 'refused' in drawn ? { ok: false, ...drawn } : { ok: true, ...drawn, basis: withAssumptions(basis, state.assumed) };
}

type Sheet = Omit<DrawnUp, 'basis'> | { readonly refused: readonly string[] };

function removal({ conveyor, takeup, units }: PlanPlace, at: CardPlace, state: TakeupState, pitches: number, query: PlanQuery): Sheet {
  const { repeatPitches } = conveyor.chain;
  if (pitches % repeatPitches !== 0)
    return { refused: [`This chain is shortened by multiples of ${String(repeatPitches)} pitches: ${String(pitches)} is none.`] };
  const wish = wishWithReversing({ conveyor, takeup, units }, state, query.wish);
  const plan = planRemoval(conveyor, takeup, state, wish);
  const choice = planOneRemoval(conveyor, takeup, state, wish, pitches);
  if (choice.stops.length > 0) return { refused: choice.stops.map((stop) => stopSentence(stop, choice, plan, units)) };
  const card = removalCard({ place: at, takeup, state, plan, choice, minSpacingMm: conveyor.carriers?.minSpacingMm, system: units });
  return { card, planned: plannedJob(state, pitches, choice.nuts) };
}

function nuts(
  { conveyor, takeup, units }: PlanPlace,
  at: CardPlace,
  state: TakeupState,
  to: 'tension' | 'balance',
  query: PlanQuery,
): Sheet {
  const tensionN = query.wish.targetTensionN ?? referenceTensionN(takeup);
  const plan = nutsOfTakeup(conveyor, takeup, state, to === 'balance' ? { to } : { to, tensionN });
  return { card: nutCard({ place: at, plan, system: units }), planned: plannedJob(state, 0, plan) };
}

function plannedJob(state: TakeupState, pitches: number, plan: NutPlan): PlannedJob {
  return {
    pitches,
    fromMm: state.positionMm,
    settlesAtMm: state.positionMm + plan.moveMm,
    springMm: forBothSides((side) => plan.sides[side].springAfterMm),
  };
}
