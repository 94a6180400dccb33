import type { Conveyor, Takeup } from '../site/site.js';
import { type Reverse, reversing } from './loop-reverse.js';
import { type LoopTension, loopTension } from './loop-tension.js';
import { type BothSides, type SideSpring, carriageForceN, forBothSides, forceForTensionN, lengthForForceMm } from './side-springs.js';

/** Why the loop of a take-up cannot be walked. */
export type NoLoop = 'no-path' | 'path-starts-elsewhere'; // a site file has one path a conveyor, and it begins at the first take-up

export const NO_LOOP_SENTENCES: Readonly<Record<NoLoop, string>> = {
  'no-path': 'The site file has no path for this conveyor: the tension around the loop needs its stretches, curves and drive.',
  'path-starts-elsewhere': 'The path of the site file begins at the first take-up of the conveyor, which is not this one.',
};

type WalkedConveyor = Pick<Conveyor, 'path' | 'chain' | 'takeups'>;

/** Whether the path of the site file can be walked from this take-up. */
export function noLoop({ path, takeups }: Pick<Conveyor, 'path' | 'takeups'>, takeup: Pick<Takeup, 'id'>): NoLoop | undefined {
  if (path.length === 0) return 'no-path';
  return takeups[0]?.id === takeup.id ? undefined : 'path-starts-elsewhere';
}

/** Tension around the loop of a take-up, with the springs as they are. */
export function loopOfTakeup(
  conveyor: WalkedConveyor,
  takeup: Takeup,
  sides: BothSides<SideSpring>,
  emptyNPerM?: number,
): LoopTension | NoLoop {
  return (
    noLoop(conveyor, takeup) ??
    loopTension({
      path: conveyor.path,
      turn: takeup,
      carriageForceN: carriageForceN(sides),
      leastTensionN: conveyor.chain.minTensionN ?? 0,
      emptyNPerM,
    })
  );
}

/**
 * What reversing does to a take-up that stands so and has its springs so.
 *
 * @param innerReserveMm - room to keep before the inner stop, mm: the breathing
 */
export function reversingOfTakeup(
  conveyor: WalkedConveyor,
  takeup: Takeup,
  sides: BothSides<SideSpring>,
  positionMm: number,
  innerReserveMm: number,
  emptyNPerM?: number,
): Reverse | NoLoop {
  return (
    noLoop(conveyor, takeup) ??
    reversing({
      path: conveyor.path,
      turn: takeup,
      leadMm: takeup.nutLeadMm,
      sides,
      positionMm,
      innerReserveMm,
      leastTensionN: conveyor.chain.minTensionN ?? 0,
      emptyNPerM,
    })
  );
}

/** The springs when both sides push alike for a strand tension. */
function springsForTension(takeup: Takeup, sides: BothSides<SideSpring>, tensionN: number): BothSides<SideSpring> {
  const sideN = forceForTensionN(tensionN, takeup) / 2;
  return forBothSides((side) => ({ spring: sides[side].spring, springMm: lengthForForceMm(sides[side].spring, sideN) }));
}

/**
 * How far reversing draws the carriage in once the springs are set to a strand tension, mm: the excess that a removal leaves room for.
 * 0 for a conveyor that runs one way, or whose loop cannot be walked.
 */
export function reversingDrawInMm(
  conveyor: WalkedConveyor & Pick<Conveyor, 'drive'>,
  takeup: Takeup,
  sides: BothSides<SideSpring>,
  tensionN: number,
): number {
  if (!conveyor.drive.reversing) return 0;
  const reverse = reversingOfTakeup(conveyor, takeup, springsForTension(takeup, sides, tensionN), takeup.strokeMm, 0);
  return typeof reverse === 'string' ? 0 : reverse.drawnInMm;
}
