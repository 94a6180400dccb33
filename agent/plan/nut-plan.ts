import { strandTensionN } from '../flow/takeup/geometry.js';
import { marginToSolidMm, usableMarginMm } from '../flow/takeup/spring-state.js';
import type { Chain, SideName } from '../site/site.js';
import { type Rest, settleCarriage } from './settle-carriage.js';
import {
  type BothSides,
  type SideSpring,
  type Turn,
  SIDES,
  carriageForceN,
  forBothSides,
  forceForTensionN,
  lengthForForceMm,
  sideRateNPerMm,
} from './side-springs.js';
import { nearestQuarter } from './turns.js';

/** What the nuts are turned for. Either way both sides are to push alike afterwards. */
export type NutWish = { readonly to: 'tension'; readonly tensionN: number } | { readonly to: 'balance' };

/** Why a setting of the nuts is not good, or cannot be said in turns. */
export type NutProblem =
  | 'lead-not-known'
  | 'spring-solid'
  | 'below-shortest-usable'
  | 'spring-free'
  | 'below-least-tension'
  | 'above-most-tension'
  | 'outer-stop' // the carriage has no way left outwards to follow the nuts
  | 'inner-stop';

export interface NutProblemAt {
  readonly problem: NutProblem;
  readonly side?: SideName;
}

export interface NutInput {
  readonly turn: Turn;
  readonly sides: BothSides<SideSpring>;
  /** Lead of the rods' thread, mm a turn; undefined where the site does not give it. */
  readonly leadMm: number | undefined;
  readonly limits: Pick<Chain, 'minTensionN' | 'maxTensionN'>;
  /** Chain that comes free by tension, mm/N: see `Work`. */
  readonly giveMmPerN: number;
  /** Chain taken out before the nuts are set, mm; 0 for an adjustment alone. */
  readonly chainOutMm: number;
  /** Where the carriage stands before, and its whole travel. */
  readonly positionMm: number;
  readonly strokeMm: number;
}

export interface NutSide {
  /** Exact turns, positive tightens; undefined without a lead. They are the common turns and those that take out skew in force. */
  readonly turns: number | undefined;
  readonly commonTurns: number | undefined;
  readonly balanceTurns: number | undefined;
  /** What is to be turned: the exact turns to the nearest quarter. */
  readonly quarterTurns: number | undefined;
  /** Spring length asked for. */
  readonly springMm: number;
  /** Spring length, force and margins that the quarters leave; without a lead, those asked for. */
  readonly springAfterMm: number;
  readonly forceAfterN: number;
  readonly marginToSolidMm: number;
  readonly usableMarginMm: number;
}

export interface NutPlan {
  readonly tensionBeforeN: number;
  readonly tensionAskedN: number;
  readonly tensionAfterN: number;
  /** What rounding to quarters leaves: after − asked. */
  readonly roundingLeavesN: number;
  /** What the springs give with both sides at their shortest usable length, N. */
  readonly mostUsableTensionN: number;
  /** How far the carriage moves, mm, positive outwards. */
  readonly moveMm: number;
  readonly sides: BothSides<NutSide>;
  /** Empty: the setting is good. */
  readonly problems: readonly NutProblemAt[];
}

/**
 * Turns of the adjusting nuts, per side, to a strand tension or to equal forces (mechanics §3):
 * z = (L + Δx − L_target)/lead, L_target the length at which each side pushes with half of the carriage force asked for, and Δx what the
 * carriage moves meanwhile: by chain taken out, by the chain's stretch under the new tension, and by what other take-ups let out under it.
 */
export function planNuts(input: NutInput, wish: NutWish): NutPlan {
  const { turn, sides, leadMm, giveMmPerN, chainOutMm } = input;
  const presentN = strandTensionN(carriageForceN(sides), turn.gain, turn.turnFriction);
  const askedN = wish.to === 'tension' ? wish.tensionN : presentN;
  const sideN = forceForTensionN(askedN, turn) / 2;
  const targetMm = forBothSides((side) => lengthForForceMm(sides[side].spring, sideN));
  const movesMm = (giveMmPerN * (askedN - presentN) - chainOutMm) / turn.gain;
  const nutInMm = forBothSides((side) => sides[side].springMm + movesMm - targetMm[side]);
  const exact = leadMm === undefined ? undefined : forBothSides((side) => nutInMm[side] / leadMm);
  const quarters = exact && forBothSides((side) => nearestQuarter(exact[side]));
  const turned = quarters === undefined || leadMm === undefined ? nutInMm : forBothSides((side) => quarters[side] * leadMm);
  const rest = settleCarriage(turn, sides, { chainOutMm, nutInMm: turned, giveMmPerN });
  const common = exact && (exact.left + exact.right) / 2;
  return {
    tensionBeforeN: presentN,
    tensionAskedN: askedN,
    tensionAfterN: rest.tensionN,
    roundingLeavesN: rest.tensionN - askedN,
    mostUsableTensionN: strandTensionN(mostUsableForceN(sides), turn.gain, turn.turnFriction),
    moveMm: rest.moveMm,
    sides: forBothSides((side) => ({
      turns: exact?.[side],
      commonTurns: common,
      balanceTurns: exact && common !== undefined ? exact[side] - common : undefined,
      quarterTurns: quarters?.[side],
      springMm: targetMm[side],
      springAfterMm: rest.springMm[side],
      forceAfterN: rest.forceN[side],
      marginToSolidMm: marginToSolidMm(sides[side].spring, rest.springMm[side]),
      usableMarginMm: usableMarginMm(sides[side].spring, rest.springMm[side]),
    })),
    problems: problemsOf(input, askedN, rest),
  };
}

/** Both sides push alike, so the weaker one tells how much. */
function mostUsableForceN(sides: BothSides<SideSpring>): number {
  const most = SIDES.map((side) => {
    const { spring } = sides[side];
    return sideRateNPerMm(spring) * Math.max(0, spring.freeMm - spring.solidMm - spring.clearanceMm);
  });
  return 2 * Math.min(...most);
}

/** Judged by what was asked of the tension, since a quarter turn more or less is not a fault, and by what the springs will really be. */
function problemsOf(input: NutInput, askedN: number, rest: Rest): readonly NutProblemAt[] {
  const { sides, leadMm, limits, positionMm, strokeMm } = input;
  const problems: NutProblemAt[] = [];
  if (leadMm === undefined) problems.push({ problem: 'lead-not-known' });
  if (limits.minTensionN !== undefined && askedN < limits.minTensionN) problems.push({ problem: 'below-least-tension' });
  if (limits.maxTensionN !== undefined && askedN > limits.maxTensionN) problems.push({ problem: 'above-most-tension' });
  const afterMm = positionMm + rest.moveMm;
  if (rest.moveMm > 0 && afterMm > strokeMm) problems.push({ problem: 'outer-stop' });
  // A removal that goes too far inwards is stopped by limits of its own.
  if (rest.moveMm < 0 && afterMm < 0 && input.chainOutMm === 0) problems.push({ problem: 'inner-stop' });
  for (const side of SIDES) {
    const { spring } = sides[side];
    const lengthMm = rest.springMm[side];
    if (marginToSolidMm(spring, lengthMm) <= 0) problems.push({ problem: 'spring-solid', side });
    else if (usableMarginMm(spring, lengthMm) < 0) problems.push({ problem: 'below-shortest-usable', side });
    else if (lengthMm >= spring.freeMm) problems.push({ problem: 'spring-free', side });
  }
  return problems;
}
