import { showText, unitOf, type UnitSystem } from '../units/display.js';
import {
  type CardFigures,
  type CardPlace,
  cardOf,
  closingBlanks,
  facts,
  foundLines,
  lockOutLines,
  restartLines,
  steps,
} from './card-sections.js';
import type { CardFact, JobCard } from './job-card.js';
import type { TakeupNuts } from './nuts-of-takeup.js';
import { othersFact } from './removal-words.js';
import { SIDES } from './side-springs.js';
import { turnsWords } from './turns.js';

export interface NutCardInput {
  readonly place: CardPlace;
  readonly plan: TakeupNuts;
  readonly system: UnitSystem;
}

/** The job card of a nut adjustment alone: the chain stays closed. */
export function nutCard({ place, plan, system }: NutCardInput): JobCard {
  const figures = figuresOf(place, plan, system);
  const travel = unitOf('travel', system);
  const inTurns = plan.sides.left.quarterTurns !== undefined;
  return cardOf('Set the adjusting nuts', place, {
    job: facts(jobFacts(plan, system)),
    'lock-out': lockOutLines(figures),
    found: foundLines(figures, travel),
    'stored-energy': steps(['springs-under-load'], figures),
    steps: steps(['set-springs-only', ...(inTurns ? (['turn-left', 'turn-right'] as const) : []), 'lock-nuts'], figures),
    restart: restartLines(figures),
    check: steps(['record'], figures),
    done: closingBlanks(travel),
  });
}

function jobFacts(plan: TakeupNuts, system: UnitSystem): readonly CardFact[] {
  const solid = Math.min(...SIDES.map((side) => plan.sides[side].marginToSolidMm));
  const usable = Math.min(...SIDES.map((side) => plan.sides[side].usableMarginMm));
  return [
    {
      label: 'Strand tension',
      text: `${showText('force', plan.tensionBeforeN, system)} now, ${showText('force', plan.tensionAfterN, system)} afterwards`,
    },
    {
      label: 'Springs afterwards',
      text: `${showText('travel', solid, system)} from touching coils, ${showText('travel', usable, system)} from their shortest usable length`,
    },
    ...othersFact(plan.others, system),
  ];
}

function figuresOf(place: CardPlace, { sides, tensionAfterN }: TakeupNuts, system: UnitSystem): CardFigures {
  return {
    takeup: place.takeupId,
    springLeft: showText('travel', sides.left.springAfterMm, system),
    springRight: showText('travel', sides.right.springAfterMm, system),
    tension: showText('force', tensionAfterN, system),
    turnsLeft: turnsWords(sides.left.quarterTurns ?? 0),
    turnsRight: turnsWords(sides.right.quarterTurns ?? 0),
  };
}
