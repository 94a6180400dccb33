import { strandTensionN } from '../flow/takeup/geometry.js';
import { sideForceN } from '../flow/takeup/spring-state.js';
import { type BothSides, type SideSpring, type Turn, carriageForceN, forBothSides } from './side-springs.js';

/** What is done to a chain and its take-up while it stands. */
export interface Work {
  /** Length of chain taken out, mm; 0 where only nuts are turned. */
  readonly chainOutMm: number;
  /** By how much each side's nut is run in, mm: turns · lead, positive compresses the spring. */
  readonly nutInMm: BothSides<number>;
  /** Stretch of the chain by tension, n·p/EA, mm/N; 0 where no stiffness is known. */
  readonly stretchMmPerN: number;
}

/** Where the carriage comes to rest. */
export interface Rest {
  /** How far the carriage has moved, mm; positive outwards. */
  readonly moveMm: number;
  readonly springMm: BothSides<number>;
  readonly forceN: BothSides<number>;
  readonly tensionN: number;
}

const HALVINGS = 200;

/**
 * Where the carriage comes to rest after work on the chain or the nuts.
 *
 * Derivation (mechanics §2, §3): the path closes before and after, g·Δx = −out + (n·p/EA)·(T′ − T), the springs follow the carriage and
 * the nuts, L′ = L + Δx − z·s, and T′ = 2F′/(g·(2 + c)) with F′ the sum of the side forces, none below 0. As Δx grows, F′ falls, so
 * g·Δx + out − (n·p/EA)·(T′ − T) rises throughout and has one zero, found by halving.
 *
 * Coils that touch are not held back here: a spring shorter than solid in the answer says that the work cannot be done so.
 *
 * @param sides - the springs as they are before the work
 */
export function settleCarriage(turn: Turn, sides: BothSides<SideSpring>, work: Work): Rest {
  const { chainOutMm, nutInMm, stretchMmPerN } = work;
  const tensionAt = (forceN: number): number => strandTensionN(forceN, turn.gain, turn.turnFriction);
  const before = tensionAt(carriageForceN(sides));
  const after = (moveMm: number): BothSides<SideSpring> =>
    forBothSides((side) => ({ spring: sides[side].spring, springMm: sides[side].springMm + moveMm - nutInMm[side] }));
  const moveFor = (tensionN: number): number => (-chainOutMm + stretchMmPerN * (tensionN - before)) / turn.gain;

  let low = moveFor(0);
  let high = moveFor(tensionAt(carriageForceN(after(low))));
  for (let i = 0; i < HALVINGS && high > low; i++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (moveFor(tensionAt(carriageForceN(after(middle)))) > middle) low = middle;
    else high = middle;
  }
  const moveMm = stretchMmPerN === 0 ? moveFor(before) : high;
  const rest = after(moveMm);
  return {
    moveMm,
    springMm: forBothSides((side) => rest[side].springMm),
    forceN: forBothSides((side) => sideForceN(rest[side].spring, rest[side].springMm)),
    tensionN: tensionAt(carriageForceN(rest)),
  };
}
