import { strandTensionN } from '../flow/takeup/geometry.js';
import type { PathSegment } from '../site/site.js';
import { withDrive } from './loop-path.js';
import { type Resistance, developedMm, tensionAfterN, tensionBeforeN } from './loop-step.js';
import { type Turn, forceForTensionN } from './side-springs.js';

/** A place on the loop where the tension is told. */
export interface LoopNode {
  /** Developed length from the take-up, in the direction of travel, mm. */
  readonly atMm: number;
  readonly tensionN: number;
  readonly place: 'leaving-take-up' | 'along' | 'drive-tight' | 'drive-slack' | 'entering-take-up';
  /** The stretch of the path, counted from 0, at whose end the node lies; undefined where it lies at the end of none. */
  readonly segment: number | undefined;
  /** Whether that stretch falls. */
  readonly afterDecline: boolean;
}

export interface LoopWalk {
  /** In the order of the path; between two nodes the tension runs evenly up or down. */
  readonly nodes: readonly LoopNode[];
  readonly lowest: LoopNode;
  readonly highest: LoopNode;
  readonly tightN: number;
  readonly slackN: number;
  /** Tight − slack: below 0 the chain drives the drive. */
  readonly drivePullN: number;
}

/**
 * Tension around the loop (mechanics §4). From the strand that leaves the take-up the walk goes forwards to the drive's tight side; from
 * the strand that enters the take-up it goes back to the drive's slack side. The springs give both: T_in = 2F/(g·(2+c)), T_out = (1+c)·T_in.
 *
 * @param path - from the take-up in the direction of travel; without a drive, the drive stands at its end
 * @param carriageForceN - F, N
 */
export function walkLoop(path: readonly PathSegment[], turn: Turn, carriageForceN: number): LoopWalk {
  const segments = withDrive(path);
  const driveAt = segments.findIndex(({ kind }) => kind === 'drive');
  const enteringN = strandTensionN(carriageForceN, turn.gain, turn.turnFriction);
  const forwards = tensionsForwards(segments.slice(0, driveAt), enteringN * (1 + turn.turnFriction));
  const backwards = tensionsBackwards(segments.slice(driveAt + 1), enteringN);
  const nodes = nodesOf(segments, driveAt, [...forwards, ...backwards]);
  const tightN = forwards.at(-1) as number;
  const slackN = backwards[0] as number;
  return {
    nodes,
    lowest: nodes.reduce((low, node) => (node.tensionN < low.tensionN ? node : low)),
    highest: nodes.reduce((high, node) => (node.tensionN > high.tensionN ? node : high)),
    tightN,
    slackN,
    drivePullN: tightN - slackN,
  };
}

/**
 * The carriage force for which the lowest tension of the loop reaches a least one, N. The tension at every place rises with that at the
 * take-up, so each place is asked what it needs there, and the most is taken.
 */
export function forceForLeastN(path: readonly PathSegment[], turn: Turn, leastN: number): number {
  const segments = withDrive(path);
  const driveAt = segments.findIndex(({ kind }) => kind === 'drive');
  const leaving = neededBefore(segments.slice(0, driveAt).filter(isResistance), leastN);
  const entering = neededBehind(segments.slice(driveAt + 1).filter(isResistance), leastN);
  return forceForTensionN(Math.max(entering, leaving / (1 + turn.turnFriction)), turn);
}

/** From the last stretch back: before each, what the places behind it need, and no less than the least. */
function neededBefore(stretches: readonly Resistance[], leastN: number): number {
  return stretches.reduceRight((needed, segment) => Math.max(leastN, tensionBeforeN(needed, segment)), leastN);
}

function neededBehind(stretches: readonly Resistance[], leastN: number): number {
  return stretches.reduce((needed, segment) => Math.max(leastN, tensionAfterN(needed, segment)), leastN);
}

function tensionsForwards(segments: readonly PathSegment[], startN: number): readonly number[] {
  const tensions = [startN];
  for (const segment of segments.filter(isResistance)) tensions.push(tensionAfterN(tensions.at(-1) as number, segment));
  return tensions;
}

function tensionsBackwards(segments: readonly PathSegment[], endN: number): readonly number[] {
  const tensions = [endN];
  for (const segment of segments.filter(isResistance).reverse()) tensions.unshift(tensionBeforeN(tensions[0] as number, segment));
  return tensions;
}

/** One node at each end of every stretch: the drive has its tight side before and its slack side behind. */
function nodesOf(segments: readonly PathSegment[], driveAt: number, tensions: readonly number[]): readonly LoopNode[] {
  let atMm = 0;
  return tensions.map((tensionN, index) => {
    const before = index - 1;
    const segment = before >= 0 ? segments[before] : undefined;
    atMm += segment === undefined ? 0 : developedMm(segment);
    return {
      atMm,
      tensionN,
      place: placeOf(index, driveAt, tensions.length - 1),
      segment: segment === undefined ? undefined : before,
      afterDecline: segment?.kind === 'straight' && segment.riseMm < 0,
    };
  });
}

function placeOf(index: number, driveAt: number, last: number): LoopNode['place'] {
  if (index === driveAt) return 'drive-tight';
  if (index === last) return 'entering-take-up';
  if (index === driveAt + 1) return 'drive-slack';
  return index === 0 ? 'leaving-take-up' : 'along';
}

function isResistance(segment: PathSegment): segment is Resistance {
  return segment.kind !== 'drive';
}
