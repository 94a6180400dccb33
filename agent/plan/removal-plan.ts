import { definitionOf } from '../flow/alarm/definitions.js';
import type { AlarmKey } from '../flow/alarm-key.js';
import { nominalLengthMm } from '../flow/ledger/closure.js';
import { carriagePerChainMm } from '../flow/takeup/travel.js';
import type { Conveyor, Takeup } from '../site/site.js';
import { longestKeepingCarriersMm } from './carrier-gap.js';
import { type InwardExcess, coldContractionMm, inwardExcess } from './inward-excess.js';
import { type NoRecommendation, type Recommended, recommendRemoval } from './recommend-removal.js';
import { type ChoiceBasis, type RemovalChoice, removalChoice } from './removal-choice.js';
import type { RemovalHelp, Stopped } from './removal-stop.js';
import { referenceTensionN } from './side-springs.js';
import type { TakeupState } from './takeup-state.js';
import { saysShorten } from './wear-left.js';

/** What is wished of a removal; what is left out has a default. */
export interface RemovalWish {
  /** Strand tension to set the springs to, N. Default: the reference tension. */
  readonly targetTensionN?: number | undefined;
  /** Loose chain to handle the ends with, mm of chain. Default: one pitch. */
  readonly handlingSlackMm?: number | undefined;
  /** How far the carriage comes in when the chain is coldest, mm of carriage. Default: back to the reference temperature. */
  readonly coldContractionMm?: number | undefined;
  /** How far reversing draws the carriage in, mm of carriage. Default: 0. */
  readonly reversingDrawInMm?: number | undefined;
  /** Room to keep inwards besides, mm of carriage. Default: 0. */
  readonly besidesInwardsMm?: number | undefined;
  /** No carrier may come off. Default: they may. */
  readonly keepEveryCarrier?: boolean | undefined;
}

export interface RemovalPlan {
  readonly positionMm: number;
  readonly strokeMm: number;
  readonly remainingMm: number;
  readonly pitches: number;
  readonly elongation: number;
  readonly excess: InwardExcess;
  readonly targetTensionN: number;
  readonly handlingSlackMm: number;
  /** Every removal that can be made, the shortest first, and after them the next longer one with what stops it. */
  readonly choices: readonly RemovalChoice[];
  /** The longest removal from one gap that keeps every carrier, pitches; 0 where a gap has none to give; undefined without carriers. */
  readonly longestKeepingCarriers: number | undefined;
  readonly recommended: Recommended | undefined;
  /** Why none is recommended; undefined where one is. */
  readonly notRecommended: NoRecommendation | undefined;
  /** Where no removal is possible: the limit that stops it and what would help. */
  readonly stopped: Stopped | undefined;
}

/**
 * What may be taken out of the chain at a take-up, side by side (mechanics §8). Pure, and quick enough to follow a person's typing.
 *
 * Where several take-ups hold one chain the removal is planned for this one: the others' nuts are left alone, and they move only as the
 * tension changes.
 */
export function planRemoval(
  conveyor: Pick<Conveyor, 'chain' | 'carriers' | 'takeups'>,
  takeup: Takeup,
  state: TakeupState,
  wish: RemovalWish = {},
): RemovalPlan {
  const { chain, carriers } = conveyor;
  const { strokeMm } = takeup;
  const basis = basisOf(conveyor, takeup, state, wish);
  const choices = choicesOf(basis);
  const [shortest] = choices;
  if (shortest === undefined) throw new Error('a chain has a repeat of at least one pitch, so there is a shortest removal');
  const recommended = recommendRemoval(choices, strokeMm, setPoint('stroke-low', 'remaining_mm', conveyor, takeup));
  const notRecommended = whyNot(basis, shortest);
  return {
    positionMm: state.positionMm,
    strokeMm,
    remainingMm: strokeMm - state.positionMm,
    pitches: state.pitches,
    elongation: state.elongation,
    excess: basis.excess,
    targetTensionN: basis.targetTensionN,
    handlingSlackMm: basis.handlingSlackMm,
    choices,
    longestKeepingCarriers: carriers && longestKeepingCarriersMm(nominalLengthMm(chain.repeatPitches, chain), carriers) / chain.pitchMm,
    recommended: notRecommended === undefined ? recommended : undefined,
    notRecommended,
    stopped: shortest.stops.length > 0 ? stoppedBy(basis, shortest) : undefined,
  };
}

/**
 * One removal by itself, also one that the plan no longer lists because a shorter one cannot be made.
 *
 * @param pitches - above 0, a multiple of the chain's repeat
 */
export function planOneRemoval(
  conveyor: Pick<Conveyor, 'chain' | 'carriers' | 'takeups'>,
  takeup: Takeup,
  state: TakeupState,
  wish: RemovalWish,
  pitches: number,
): RemovalChoice {
  return removalChoice(basisOf(conveyor, takeup, state, wish), pitches);
}

function basisOf(
  conveyor: Pick<Conveyor, 'chain' | 'carriers' | 'takeups'>,
  takeup: Takeup,
  state: TakeupState,
  wish: RemovalWish,
): ChoiceBasis {
  const cold = wish.coldContractionMm ?? coldContractionMm(state.thermalMm, perChainMm(conveyor, takeup));
  return {
    conveyor,
    takeup,
    state,
    excess: inwardExcess(state.breathingMm, cold, wish.reversingDrawInMm ?? 0, wish.besidesInwardsMm),
    targetTensionN: wish.targetTensionN ?? referenceTensionN(takeup),
    handlingSlackMm: wish.handlingSlackMm ?? conveyor.chain.pitchMm,
    keepEveryCarrier: wish.keepEveryCarrier ?? false,
    nearWorn: setPoint('wear-limit-near', 'elongation_pct', conveyor, takeup) / 100,
  };
}

/** From one repeat up to the first that cannot be made: every step draws the carriage further in, so none after it can. */
function choicesOf(basis: ChoiceBasis): readonly RemovalChoice[] {
  const { repeatPitches } = basis.conveyor.chain;
  const choices: RemovalChoice[] = [];
  for (let pitches = repeatPitches; ; pitches += repeatPitches) {
    const choice = removalChoice(basis, pitches);
    choices.push(choice);
    if (choice.stops.length > 0) return choices;
  }
}

/** Travel of the take-up per mm of chain that nobody takes out: what wear and heat do, which others share. */
function perChainMm(conveyor: Pick<Conveyor, 'chain' | 'takeups'>, { id }: Pick<Takeup, 'id'>): number {
  return carriagePerChainMm(
    conveyor,
    conveyor.takeups.findIndex((one) => one.id === id),
  );
}

function whyNot({ conveyor, takeup, state }: ChoiceBasis, shortest: RemovalChoice): NoRecommendation | undefined {
  if (!saysShorten(shortest.wear.verdict)) return 'replace-chain';
  const travelLeftMm = takeup.strokeMm - state.positionMm - state.breathingMm;
  if (shortest.wear.lengtheningLeftMm * perChainMm(conveyor, takeup) <= travelLeftMm) return 'wear-limit-before-stroke';
  return shortest.stops.length > 0 ? 'stopped' : undefined;
}

function stoppedBy({ takeup, state, excess, handlingSlackMm }: ChoiceBasis, shortest: RemovalChoice): Stopped | undefined {
  const [limit] = shortest.stops;
  if (limit === undefined) return undefined;
  const { drawIn, carriers, stops, travelRegainedMm, carriageAfterMm, settlesAtMm } = shortest;
  const settlingMm = Math.max(0, carriageAfterMm - settlesAtMm);
  const neededMm = Math.max(excess.totalMm + travelRegainedMm + settlingMm, drawIn.neededMm + excess.coldContractionMm);
  const help: RemovalHelp[] = [];
  if (stops.includes('inner-reserve') || stops.includes('draw-in')) {
    const slackMm = (drawIn.availableMm - drawIn.neededMm) * takeup.gain + handlingSlackMm;
    if (!stops.includes('inner-reserve') && slackMm >= 0) help.push({ help: 'handle-with-less-slack', slackMm });
    if (neededMm > takeup.strokeMm) help.push({ help: 'stroke-too-short-for-repeat', neededMm, strokeMm: takeup.strokeMm });
    else help.push({ help: 'wait-until-position', positionMm: neededMm, days: daysTo(neededMm, state) }, { help: 'turn-the-nuts' });
  }
  if (stops.includes('carrier-spacing') && carriers !== undefined) {
    if (carriers.placesKeepingAll !== null) help.push({ help: 'take-out-in-places', places: carriers.placesKeepingAll });
    help.push({ help: 'take-carriers-off', off: carriers.off });
  }
  if (!saysShorten(shortest.wear.verdict) || stops.includes('chain-runs-out')) help.push({ help: 'replace-the-chain' });
  return { limit, help };
}

function daysTo(positionMm: number, { positionMm: now, travelMmPerDay }: TakeupState): number | undefined {
  return travelMmPerDay === undefined ? undefined : Math.max(0, positionMm - now) / travelMmPerDay;
}

/** A set-point of the alarm list, as this take-up has it. */
function setPoint(key: AlarmKey, field: string, conveyor: Pick<Conveyor, 'chain'>, takeup: Takeup): number {
  const own = takeup.limits[key]?.[field];
  const limit = own ?? definitionOf(key).limit({ takeup, chain: conveyor.chain, spring: takeup.spring });
  if (limit === undefined) throw new Error(`the alarm list gives no set-point for ${key}`);
  return limit;
}
