import type { Conveyor } from '../../site/site.js';
import { strandTensionN } from '../takeup/geometry.js';
import { followedSpringMm, sideForceN } from '../takeup/spring-state.js';
import type { ChainEra } from './chain-eras.js';
import { elasticMm, elongationRatio, nominalLengthMm, thermalMm } from './closure.js';
import type { SideEra } from './side-eras.js';
import type { WindowRecord } from './window-record.js';

/** Within this of a stop, of solid coils or of a free spring, a value is a bound. */
const AT_BOUND_MM = 0.5;

/** What the account says of one settled window. NaN where not known. */
export interface Figures {
  readonly pitches: number;
  readonly elongation: number;
  readonly thermalMm: number;
  readonly elasticMm: number;
  readonly springLeftMm: number;
  readonly springRightMm: number;
  readonly carriageForceN: number;
  readonly strandTensionN: number;
  readonly provisional: boolean;
  /** At a stop, with solid coils or free springs: the position is a bound, and ε with it. */
  readonly bound: boolean;
  readonly stretch: number;
  readonly newChainMs: number;
}

/** The strand tension that follows from two spring lengths on a take-up. */
export function tensionOfSprings(
  takeup: Conveyor['takeups'][number],
  left: SideEra,
  right: SideEra,
  leftMm: number,
  rightMm: number,
): { readonly forceN: number; readonly tensionN: number } {
  const forceN = sideForceN(left.spring, leftMm) + sideForceN(right.spring, rightMm);
  return { forceN, tensionN: strandTensionN(forceN, takeup.gain, takeup.turnFriction) };
}

/** Elongation, heat, elastic stretch and springs of a settled window of take-up `index`. */
export function figuresOf(
  conveyor: Conveyor,
  index: number,
  window: WindowRecord,
  era: ChainEra,
  sides: readonly [SideEra, SideEra],
  referenceTensionN: number,
): Figures {
  const takeup = conveyor.takeups[index] as Conveyor['takeups'][number];
  const [left, right] = sides;
  const springLeftMm = takeup.sides.left.spring ? window.springLeft : followedSpringMm(left.set, window.left);
  const springRightMm = takeup.sides.right.spring ? window.springRight : followedSpringMm(right.set, window.right);
  const { forceN, tensionN } = tensionOfSprings(takeup, left, right, springLeftMm, springRightMm);
  const nominal = nominalLengthMm(era.pitches, conveyor.chain);
  const thermal = thermalMm(conveyor, nominal, window.zoneHeat, window.ambientHeat);
  const chainTensionN = (tensionN + window.othersTension) / conveyor.takeups.length;
  const elastic = elasticMm(conveyor.chain, nominal, chainTensionN, referenceTensionN);
  const takenUp = takeup.gain * window.mean + window.othersTakenUp;
  const solid = springLeftMm - left.spring.solidMm <= AT_BOUND_MM || springRightMm - right.spring.solidMm <= AT_BOUND_MM;
  const free = springLeftMm >= left.spring.freeMm - AT_BOUND_MM && springRightMm >= right.spring.freeMm - AT_BOUND_MM;
  const stopped = window.mean <= AT_BOUND_MM || window.mean >= takeup.strokeMm - AT_BOUND_MM;
  return {
    pitches: era.pitches,
    elongation: elongationRatio(nominal, era.trackMm, takenUp, thermal, elastic),
    thermalMm: thermal,
    elasticMm: elastic,
    springLeftMm,
    springRightMm,
    carriageForceN: forceN,
    strandTensionN: tensionN,
    provisional: era.provisional,
    bound: solid || free || stopped,
    stretch: era.stretch,
    newChainMs: era.newChainMs,
  };
}
