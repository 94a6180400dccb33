import { strandTensionN } from '../flow/takeup/geometry.js';
import { marginToSolidMm, usableMarginMm } from '../flow/takeup/spring-state.js';
import type { PathSegment, SideName, Spring } from '../site/site.js';
import { LOAD_CASES, type LoadCase, leastLoadNPerM, loadedAs, turnedRound } from './loop-path.js';
import { type LoopWalk, forceForLeastN, walkLoop } from './loop-walk.js';
import {
  type BothSides,
  type SideSpring,
  type Turn,
  SIDES,
  carriageForceN,
  forBothSides,
  lengthForForceMm,
  sideRateNPerMm,
} from './side-springs.js';
import { nearestQuarter } from './turns.js';

export interface ReverseInput {
  /** From the take-up in the usual direction of travel. */
  readonly path: readonly PathSegment[];
  readonly turn: Turn;
  readonly leadMm: number | undefined;
  readonly sides: BothSides<SideSpring>;
  readonly positionMm: number;
  /** The carriage is to stay so far from the inner stop while it runs backwards, mm. */
  readonly innerReserveMm: number;
  /** Least tension on the drive's slack side while it runs backwards, N. */
  readonly leastTensionN: number;
  readonly emptyNPerM?: number | undefined;
}

/** What ends the carriage's way inwards. */
export type ReverseLimit =
  | 'springs' // they give what reversing asks for
  | 'springs-solid' // their coils touch first: the rest of the pull goes straight into the chain
  | 'inner-stop';

/** A setting of the nuts with which the springs are not used up in reverse, or why there is none. */
export type ReverseSetting =
  | {
      readonly setting: 'found';
      /** Spring lengths with the carriage where it stands now. */
      readonly springMm: BothSides<number>;
      /** To the nearest quarter, positive tightens; undefined without a lead. */
      readonly quarterTurns: BothSides<number> | undefined;
      readonly drawnInMm: number;
      /** Strand tension at rest with that setting, N. */
      readonly tensionN: number;
    }
  | {
      readonly setting: 'spring-too-soft';
      /** Rate that one spring would need, N/mm, with the lengths that it has. */
      readonly leastRateNPerMm: number;
    };

export interface Reverse {
  /** The worst case of the loads, climbs and declines as they are met in reverse. */
  readonly load: LoadCase;
  /** The loop in reverse, told in its own direction, with the force that it asks for. */
  readonly walk: LoopWalk;
  readonly forceNeededN: number;
  /** Tension of the strand that enters the take-up in reverse, which is then the tight side. */
  readonly tensionN: number;
  readonly drawnInMm: number;
  readonly limit: ReverseLimit;
  /** With the carriage drawn in. */
  readonly springMm: BothSides<number>;
  readonly marginToSolidMm: number;
  readonly usableMarginMm: number;
  /** Chain that gathers on the drive's slack side meanwhile, mm. */
  readonly slackGatheredMm: number;
  readonly setting: ReverseSetting;
}

/**
 * What reversing does to a take-up (mechanics §4). Turned round, the take-up stands on the drive's tight side and must hold the pull of
 * the whole loop: the springs are drawn together until F(x) = g·T_reverse, or their coils touch, or the carriage is at the inner stop.
 * The chain that it gives up gathers on the slack side, where the tension sinks to the least asked.
 *
 * How long the springs are under that force does not depend on the nuts. The nuts decide how far the carriage has to come in for it, and
 * whether both sides share it: so a setting keeps a margin by sides of equal force and a carriage kept from the inner stop, or the
 * springs are too soft for the pull whatever the nuts.
 */
export function reversing(input: ReverseInput): Reverse {
  const { turn, sides, positionMm } = input;
  const { load, loaded, forceNeededN } = hardestInReverse(input);
  const wantedMm = drawInToForceMm(sides, forceNeededN);
  const toSolidMm = Math.max(
    0,
    least((side) => marginToSolidMm(sides[side].spring, sides[side].springMm)),
  );
  const drawnInMm = Math.min(wantedMm, toSolidMm, positionMm);
  const springMm = forBothSides((side) => sides[side].springMm - drawnInMm);
  return {
    load,
    walk: walkLoop(loaded, turn, forceNeededN),
    forceNeededN,
    tensionN: strandTensionN(forceNeededN, turn.gain, turn.turnFriction),
    drawnInMm,
    limit: drawnInMm === wantedMm ? 'springs' : drawnInMm === toSolidMm ? 'springs-solid' : 'inner-stop',
    springMm,
    marginToSolidMm: least((side) => marginToSolidMm(sides[side].spring, springMm[side])),
    usableMarginMm: least((side) => usableMarginMm(sides[side].spring, springMm[side])),
    slackGatheredMm: drawnInMm * turn.gain,
    setting: settingFor(input, forceNeededN, wantedMm),
  };
}

/**
 * How far the carriage is drawn in until its springs give a force, mm; 0 where they give it already. Idle springs add nothing until the
 * carriage has come to them: Σ max(0, aᵢ) is the greatest of the sums over any of the sides, so the force is reached by the first of them.
 */
export function drawInToForceMm(sides: BothSides<SideSpring>, forceN: number): number {
  const reached = SOME_SIDES.map((some) => {
    const rateN = sum(some, (side) => sideRateNPerMm(sides[side].spring));
    return (forceN + sum(some, (side) => sideRateNPerMm(sides[side].spring) * (sides[side].springMm - sides[side].spring.freeMm))) / rateN;
  });
  return Math.max(0, Math.min(...reached));
}

const SOME_SIDES: readonly (readonly SideName[])[] = [SIDES, ['left'], ['right']];

function sum(some: readonly SideName[], of: (side: SideName) => number): number {
  return some.reduce((total, side) => total + of(side), 0);
}

function hardestInReverse({ path, turn, leastTensionN, emptyNPerM }: ReverseInput): {
  readonly load: LoadCase;
  readonly loaded: readonly PathSegment[];
  readonly forceNeededN: number;
} {
  const back = turnedRound(path);
  const empty = emptyNPerM ?? leastLoadNPerM(path);
  return LOAD_CASES.map((load) => {
    const loaded = loadedAs(back, load, empty);
    return { load, loaded, forceNeededN: forceForLeastN(loaded, turn, leastTensionN) };
  }).reduce((hardest, one) => (one.forceNeededN > hardest.forceNeededN ? one : hardest));
}

function settingFor({ turn, leadMm, sides, positionMm, innerReserveMm }: ReverseInput, neededN: number, wantedMm: number): ReverseSetting {
  const sideN = Math.max(neededN, carriageForceN(sides)) / 2;
  const atForceMm = forBothSides((side) => lengthForForceMm(sides[side].spring, sideN));
  if (SIDES.some((side) => usableMarginMm(sides[side].spring, atForceMm[side]) < 0)) {
    return { setting: 'spring-too-soft', leastRateNPerMm: Math.max(...SIDES.map((side) => leastRate(sides[side].spring, sideN))) };
  }
  const drawnInMm = Math.min(wantedMm, Math.max(0, positionMm - innerReserveMm));
  const springMm = forBothSides((side) => atForceMm[side] + drawnInMm);
  const set = forBothSides((side) => ({ spring: sides[side].spring, springMm: springMm[side] }));
  return {
    setting: 'found',
    springMm,
    quarterTurns:
      leadMm === undefined ? undefined : forBothSides((side) => nearestQuarter((sides[side].springMm - springMm[side]) / leadMm)),
    drawnInMm,
    tensionN: strandTensionN(carriageForceN(set), turn.gain, turn.turnFriction),
  };
}

/** Rate of one spring of a side with which it would give the force at its shortest usable length. */
function leastRate({ freeMm, solidMm, clearanceMm, perSide }: Spring, sideN: number): number {
  return sideN / (perSide * Math.max(0, freeMm - solidMm - clearanceMm));
}

function least(of: (side: SideName) => number): number {
  return Math.min(...SIDES.map(of));
}
