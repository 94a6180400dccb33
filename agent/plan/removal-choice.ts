import { drawInMm, elasticMm, nominalLengthMm } from '../flow/ledger/closure.js';
import type { Chain, Conveyor, Takeup } from '../site/site.js';
import { type CarrierChange, carrierChange, carriersOnChain } from './carrier-gap.js';
import { chainGiveMmPerN, springsKnown } from './chain-give.js';
import type { InwardExcess } from './inward-excess.js';
import { type NutPlan, planNuts } from './nut-plan.js';
import { type OtherMove, otherMoves } from './other-takeups.js';
import { type DrawIn, type RemovalStop, stopsOf } from './removal-stop.js';
import type { TakeupState } from './takeup-state.js';
import { type WearLeft, wearLeft } from './wear-left.js';

/**
 * How the chain is parted at the two ends of what comes out.
 * A site that names no connectors has joints that part anywhere; with connectors, a length that is no multiple of their distance
 * needs one pin taken out that is not made to come out.
 */
export type Parting = 'any-joint' | 'at-connectors' | 'one-pin-out';

/** One removal, side by side with the others. Lengths mm, forces N. */
export interface RemovalChoice {
  readonly pitches: number;
  /** k over the chain's repeat. */
  readonly repeats: number;
  /** Length that comes out, nominal, by which carriers are spaced. */
  readonly nominalMm: number;
  /** Length that comes out as it is now, worn: k·p·(1+ε). */
  readonly lengthMm: number;
  /** x − k·p·(1+ε)/g: where the carriage settles, running, at the tension that it has now. */
  readonly carriageAfterMm: number;
  /** Where it settles with the springs at the target: another tension stretches the chain otherwise, and moves other take-ups of it. */
  readonly settlesAtMm: number;
  readonly travelRegainedMm: number;
  /** Days until the carriage stands where it does now; undefined where the wear is not known as a rate. */
  readonly daysGained: number | undefined;
  readonly drawIn: DrawIn;
  /** Undefined where the site has no carriers. */
  readonly carriers: CarrierChange | undefined;
  readonly parting: Parting;
  readonly nuts: NutPlan;
  /** What the other take-ups of the chain do meanwhile, their nuts left alone. */
  readonly others: readonly OtherMove[];
  readonly pitchesLeft: number;
  readonly wear: WearLeft;
  /** Limits that do not allow it; empty where it can be made. */
  readonly stops: readonly RemovalStop[];
}

/** What all choices share. */
export interface ChoiceBasis {
  readonly conveyor: Pick<Conveyor, 'chain' | 'carriers' | 'takeups'>;
  readonly takeup: Takeup;
  readonly state: TakeupState;
  readonly excess: InwardExcess;
  readonly targetTensionN: number;
  readonly handlingSlackMm: number;
  readonly keepEveryCarrier: boolean;
  /** Where the chain counts as near its wear limit, a ratio. */
  readonly nearWorn: number;
}

/**
 * What a removal of so many pitches does (mechanics §8): the carriage comes in by k·p·(1+ε)/g. With another tension afterwards the chain's
 * stretch differs too, and other take-ups of the chain move, which moves the carriage by give·(T_target − T)/g (`chainGiveMmPerN`).
 *
 * @param pitches - k, a multiple of the repeat
 */
export function removalChoice(basis: ChoiceBasis, pitches: number): RemovalChoice {
  const { conveyor, takeup, state, excess } = basis;
  const { chain, carriers } = conveyor;
  const { elongation } = state;
  const pitchesLeft = state.pitches - pitches;
  const nominalMm = nominalLengthMm(pitches, chain);
  const lengthMm = nominalMm * (1 + elongation);
  const giveMmPerN = chainGiveMmPerN(conveyor, takeup, state, Math.max(0, pitchesLeft));
  const nuts = planNuts(
    {
      turn: takeup,
      sides: state.sides,
      leadMm: takeup.nutLeadMm,
      limits: chain,
      giveMmPerN,
      chainOutMm: lengthMm,
      positionMm: state.positionMm,
      strokeMm: takeup.strokeMm,
    },
    { to: 'tension', tensionN: basis.targetTensionN },
  );
  const travelRegainedMm = drawInMm(pitches, chain, elongation, takeup.gain);
  const carriageAfterMm = state.positionMm - travelRegainedMm;
  const tensionChangeN = springsKnown(state) ? basis.targetTensionN - nuts.tensionBeforeN : 0;
  const settlesAtMm = carriageAfterMm + (giveMmPerN * tensionChangeN) / takeup.gain;
  const drawIn = drawInFor(basis, pitches, springsKnown(state) ? nuts.tensionBeforeN : basis.targetTensionN);
  const change = carriers && carrierChange(nominalMm, nominalLengthMm(chain.repeatPitches, chain), carriers);
  return {
    pitches,
    repeats: pitches / chain.repeatPitches,
    nominalMm,
    lengthMm,
    carriageAfterMm,
    settlesAtMm,
    travelRegainedMm,
    daysGained: state.travelMmPerDay === undefined ? undefined : travelRegainedMm / state.travelMmPerDay,
    drawIn,
    carriers: change,
    parting: partingOf(pitches, chain),
    nuts,
    others: otherMoves(conveyor, takeup, tensionChangeN),
    pitchesLeft,
    wear: wearLeft({
      pitches: state.pitches,
      removedPitches: pitches,
      pitchMm: chain.pitchMm,
      elongation,
      limit: chain.wearLimitPct / 100,
      near: basis.nearWorn,
    }),
    stops: stopsOf({
      carriageAfterMm: Math.min(carriageAfterMm, settlesAtMm),
      inwardExcessMm: excess.totalMm,
      drawIn,
      carriers: change,
      carriersOnChain: carriers === undefined ? 0 : carriersOnChain(nominalLengthMm(state.pitches, chain), carriers),
      keepEveryCarrier: basis.keepEveryCarrier,
      pitchesLeft,
    }),
  };
}

function drawInFor({ conveyor, takeup, state, excess, handlingSlackMm }: ChoiceBasis, pitches: number, tensionN: number): DrawIn {
  const { chain } = conveyor;
  const forChainMm = drawInMm(pitches, chain, state.elongation, takeup.gain);
  const forSlackMm = handlingSlackMm / takeup.gain;
  const forStretchMm = elasticMm(chain, nominalLengthMm(state.pitches, chain), tensionN, 0) / takeup.gain;
  return {
    forChainMm,
    forSlackMm,
    forStretchMm,
    neededMm: forChainMm + forSlackMm + forStretchMm,
    availableMm: Math.max(0, state.positionMm - excess.coldContractionMm),
  };
}

function partingOf(pitches: number, { connectorEveryPitches }: Chain): Parting {
  if (connectorEveryPitches === undefined) return 'any-joint';
  return pitches % connectorEveryPitches === 0 ? 'at-connectors' : 'one-pin-out';
}
