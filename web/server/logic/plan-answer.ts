import { CAUTIONS } from '../../../agent/plan/cautions.js';
import { choicesWorthShowing } from '../../../agent/plan/choices-worth-showing.js';
import { reversingDrawInMm } from '../../../agent/plan/loop-of-takeup.js';
import type { NutPlan, NutWish } from '../../../agent/plan/nut-plan.js';
import { nutProblemSentences } from '../../../agent/plan/nut-words.js';
import { nutsOfTakeup } from '../../../agent/plan/nuts-of-takeup.js';
import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import { type RemovalPlan, type RemovalWish, planOneRemoval, planRemoval } from '../../../agent/plan/removal-plan.js';
import {
  PARTING_WORDS,
  WEAR_WORDS,
  carriersText,
  othersSentences,
  pitchesText,
  removalSentences,
  stopSentence,
} from '../../../agent/plan/removal-words.js';
import { SIDES, forBothSides, referenceTensionN } from '../../../agent/plan/side-springs.js';
import { type TakeupState, stateFaultSentence, takeupState } from '../../../agent/plan/takeup-state.js';
import { turnsWords } from '../../../agent/plan/turns.js';
import type { Conveyor, Takeup } from '../../../agent/site/site.js';
import { showText, type UnitSystem } from '../../../agent/units/display.js';
import type { ChoiceAnswer, NutAnswer, PlanAnswer, RemovalAnswer } from './plan-answers.js';
import { type PlanBasis, withAssumptions } from './plan-basis.js';
import type { PlanQuery } from './plan-query.js';

/** As many as stand side by side on a desk's screen. */
const MOST_SIDE_BY_SIDE = 6;

/** What is planned at. */
export interface PlanPlace {
  readonly conveyor: Conveyor;
  readonly takeup: Takeup;
  readonly units: UnitSystem;
}

/** The plan of a take-up with all its words, or in sentences why there is none. */
export function planAnswer(place: PlanPlace, basis: PlanBasis, query: PlanQuery): PlanAnswer {
  const { conveyor, takeup, units } = place;
  const head = { conveyor: conveyor.id, takeup: takeup.id, units, cautions: CAUTIONS };
  const reading = takeupState(conveyor, takeup, basis.figures);
  if (!reading.ok) {
    const refused = reading.faults.map((fault) => asSentence(stateFaultSentence(fault, units)));
    return { ...head, basis: withAssumptions(basis, []), refused, removal: null, nuts: null };
  }
  const { state } = reading;
  const wish = wishWithReversing(place, state, query.wish);
  const targetN = wish.targetTensionN ?? referenceTensionN(takeup);
  return {
    ...head,
    basis: withAssumptions(basis, state.assumed),
    refused: [],
    removal: removalAnswer(place, state, wish, query.repeats),
    nuts: {
      toTension: nutAnswer(place, state, { to: 'tension', tensionN: targetN }),
      toBalance: nutAnswer(place, state, { to: 'balance' }),
    },
  };
}

/** What reversing draws in follows from the loop, unless it is given. */
export function wishWithReversing({ conveyor, takeup }: PlanPlace, state: TakeupState, wish: RemovalWish): RemovalWish {
  const targetN = wish.targetTensionN ?? referenceTensionN(takeup);
  return { ...wish, reversingDrawInMm: wish.reversingDrawInMm ?? reversingDrawInMm(conveyor, takeup, state.sides, targetN) };
}

function removalAnswer(place: PlanPlace, state: TakeupState, wish: RemovalWish, repeats: number | undefined): RemovalAnswer {
  const { conveyor, takeup, units } = place;
  const whole = planRemoval(conveyor, takeup, state, wish);
  const { choices, ...plan } = whole;
  const answer = (choice: RemovalChoice): ChoiceAnswer => choiceAnswer(place, whole, choice);
  const asked = repeats === undefined ? undefined : repeats * conveyor.chain.repeatPitches;
  return {
    plan,
    choices: choices.map(answer),
    worthShowing: choicesWorthShowing(whole, MOST_SIDE_BY_SIDE).map(({ pitches }) => pitches),
    asked: asked === undefined ? null : answer(planOneRemoval(conveyor, takeup, state, wish, asked)),
    // What the springs or the nuts do not allow is said beside what is recommended: a technician goes by that.
    sentences: [...removalSentences(whole, units), ...nutProblems(shownNuts(whole), units)],
  };
}

/** The nuts of the removal that is recommended, else of the shortest. */
function shownNuts({ choices, recommended }: RemovalPlan): NutPlan | undefined {
  return (choices.find(({ pitches }) => pitches === recommended?.pitches) ?? choices[0])?.nuts;
}

function choiceAnswer({ takeup, units }: PlanPlace, plan: RemovalPlan, choice: RemovalChoice): ChoiceAnswer {
  return {
    choice,
    canBeMade: choice.stops.length === 0,
    recommended: choice.pitches === plan.recommended?.pitches,
    stops: choice.stops.map((stop) => stopSentence(stop, choice, plan, units)),
    pitches: pitchesText(choice.pitches),
    carriers:
      choice.carriers === undefined || choice.carriers.off === 0 ? 'every carrier stays' : `${carriersText(choice.carriers.off)} off`,
    parting: PARTING_WORDS[choice.parting],
    wear: WEAR_WORDS[choice.wear.verdict],
    nuts: nutWords(takeup, choice.nuts, units),
    nutProblems: nutProblems(choice.nuts, units),
  };
}

function nutAnswer({ conveyor, takeup, units }: PlanPlace, state: TakeupState, wish: NutWish): NutAnswer {
  const plan = nutsOfTakeup(conveyor, takeup, state, wish);
  const solidMm = Math.min(...SIDES.map((side) => plan.sides[side].marginToSolidMm));
  const usableMm = Math.min(...SIDES.map((side) => plan.sides[side].usableMarginMm));
  const others = othersSentences(plan.others, units).filter((_, index) => plan.others[index]?.moveMm !== 0);
  const tension = `Strand tension ${showText('force', plan.tensionBeforeN, units)} now, ${showText('force', plan.tensionAfterN, units)} afterwards`;
  return {
    plan,
    words: nutWords(takeup, plan, units),
    problems: nutProblems(plan, units),
    sentence: [
      `${tension}; ${showText('travel', solidMm, units)} are left to touching coils, ${showText('travel', usableMm, units)} to the shortest usable length.`,
      ...others,
    ].join(' '),
  };
}

function nutWords({ nutLeadMm }: Takeup, { sides }: NutPlan, units: UnitSystem): NutAnswer['words'] {
  return forBothSides((side) => {
    const { quarterTurns, springAfterMm } = sides[side];
    if (nutLeadMm === undefined || quarterTurns === undefined) return `set the spring to ${showText('travel', springAfterMm, units)}`;
    return turnsWords(quarterTurns);
  });
}

function nutProblems(nuts: NutPlan | undefined, units: UnitSystem): readonly string[] {
  return nuts === undefined ? [] : nutProblemSentences(nuts, units);
}

function asSentence(words: string): string {
  return `${asWord(words)}.`;
}

function asWord(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
}
