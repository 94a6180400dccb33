import { marginToSolidMm } from '../flow/takeup/spring-state.js';
import type { Takeup } from '../site/site.js';
import { showText, unitOf, type UnitSystem } from '../units/display.js';
import {
  type CardFigures,
  type CardPlace,
  blanks,
  cardOf,
  closingBlanks,
  facts,
  foundLines,
  lockOutLines,
  restartLines,
  steps,
} from './card-sections.js';
import type { CardFact, JobCard, StepKey } from './job-card.js';
import type { Parting, RemovalChoice } from './removal-choice.js';
import type { RemovalPlan } from './removal-plan.js';
import { PARTING_WORDS, WEAR_WORDS, carriersText, othersFact, othersPlaces, pitchesText } from './removal-words.js';
import { SIDES, forBothSides } from './side-springs.js';
import type { TakeupState } from './takeup-state.js';
import { quartersToRelease, turnsText, turnsWords } from './turns.js';

export interface RemovalCardInput {
  readonly place: CardPlace;
  readonly takeup: Takeup;
  readonly state: TakeupState;
  readonly plan: RemovalPlan;
  /** One of the plan's choices. */
  readonly choice: RemovalChoice;
  /** The least distance between carriers that the site asks for, mm; undefined without carriers. */
  readonly minSpacingMm: number | undefined;
  readonly system: UnitSystem;
}

const PART_STEPS: Readonly<Record<Parting, StepKey>> = {
  'any-joint': 'part-at-joints',
  'at-connectors': 'part-at-connectors',
  'one-pin-out': 'part-with-pin',
};

/** The job card of a removal: cautions first, then the steps in order with this take-up's figures, and blanks for what is found and done. */
export function removalCard(input: RemovalCardInput): JobCard {
  const { place, choice, system } = input;
  const figures = figuresOf(input);
  const travel = unitOf('travel', system);
  const inTurns = choice.nuts.sides.left.quarterTurns !== undefined;
  const hasOthers = choice.others.length > 0;
  const carriersOff = choice.carriers !== undefined && choice.carriers.off > 0;
  return cardOf(`Shorten the chain by ${pitchesText(choice.pitches)}`, place, {
    job: facts(jobFacts(input)),
    'lock-out': lockOutLines(figures),
    found: foundLines(figures, travel),
    'stored-energy': steps(
      [
        ...(hasOthers ? (['block-others'] as const) : []),
        inTurns ? 'release-springs' : 'release-springs-by-eye',
        'draw-in',
        'block-carriage',
        'secure-chain',
      ],
      figures,
    ),
    'hot-work':
      choice.parting === 'at-connectors'
        ? []
        : [...steps(['clear-fire-load', 'fire-watch'], figures), ...blanks(['permit', 'fire-watch-by'])],
    steps: steps(
      [
        'mark-stretch',
        ...(carriersOff ? (['take-carriers-off'] as const) : []),
        PART_STEPS[choice.parting],
        'take-out',
        'join',
        'unblock',
        ...(hasOthers ? (['unblock-others'] as const) : []),
        'set-springs',
        ...(inTurns ? (['turn-left', 'turn-right'] as const) : []),
        'lock-nuts',
      ],
      figures,
    ),
    restart: restartLines(figures),
    check: [...steps(['watch-a-round', 'settled-check', 'record'], figures), ...blanks(['done-settled'], travel)],
    done: [...blanks(['done-pitches']), ...(choice.carriers === undefined ? [] : blanks(['done-carriers'])), ...closingBlanks(travel)],
  });
}

function jobFacts({ choice, plan, system }: RemovalCardInput): readonly CardFact[] {
  const mm = (value: number): string => showText('travel', value, system);
  const { carriers, wear } = choice;
  return [
    { label: 'Take out', text: `${pitchesText(choice.pitches)}, ${mm(choice.nominalMm)} as new` },
    { label: 'Carriage', text: `${mm(plan.positionMm)} now, ${mm(choice.settlesAtMm)} afterwards, of ${mm(plan.strokeMm)}` },
    { label: 'Parted at', text: PARTING_WORDS[choice.parting] },
    ...(carriers === undefined
      ? []
      : [
          {
            label: 'Carriers',
            text: `${carriers.off === 0 ? 'all stay' : `${carriersText(carriers.off)} off`}, ${mm(carriers.gapLeftMm)} left between`,
          },
        ]),
    ...othersFact(choice.others, system),
    {
      label: 'Chain',
      text: `${pitchesText(choice.pitchesLeft)} left, worn ${String(Math.round(wear.shareOfLimit * 100))} % of its limit: ${WEAR_WORDS[wear.verdict]}`,
    },
  ];
}

function figuresOf({ place, takeup, state, choice, minSpacingMm, system }: RemovalCardInput): CardFigures {
  const mm = (value: number): string => showText('travel', value, system);
  const { drawIn, nuts, carriers } = choice;
  const release = forBothSides((side) => {
    const { spring, springMm } = state.sides[side];
    return turnsText(quartersToRelease((spring.freeMm - springMm + drawIn.neededMm) / (takeup.nutLeadMm ?? Infinity)));
  });
  return {
    takeup: place.takeupId,
    pitches: pitchesText(choice.pitches),
    nominal: mm(choice.nominalMm),
    length: mm(choice.lengthMm),
    drawIn: mm(drawIn.neededMm),
    forChain: mm(drawIn.forChainMm),
    forSlack: mm(drawIn.forSlackMm),
    forStretch: drawIn.forStretchMm === 0 ? '' : `, ${mm(drawIn.forStretchMm)} as the chain shrinks when its tension is let go`,
    available: mm(drawIn.availableMm),
    toSolid: mm(Math.max(0, Math.min(...SIDES.map((side) => marginToSolidMm(state.sides[side].spring, state.sides[side].springMm))))),
    releaseLeft: release.left,
    releaseRight: release.right,
    carriers: carriersText(carriers?.off ?? 0),
    gap: mm(carriers?.gapLeftMm ?? 0),
    least: mm(minSpacingMm ?? 0),
    springLeft: mm(nuts.sides.left.springAfterMm),
    springRight: mm(nuts.sides.right.springAfterMm),
    tension: showText('force', nuts.tensionAfterN, system),
    after: mm(choice.settlesAtMm),
    turnsLeft: turnsWords(nuts.sides.left.quarterTurns ?? 0),
    turnsRight: turnsWords(nuts.sides.right.quarterTurns ?? 0),
    others: othersPlaces(choice.others),
    perPitch: mm(drawIn.forChainMm / choice.pitches),
  };
}
