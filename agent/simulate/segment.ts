import type { ChainPhysics, Stand } from './chain-physics.js';
import type { CarriageState, ConveyorState, ZoneState } from './conveyor-state.js';
import { breathingShare, type Lasting } from './lasting.js';

/** Something that goes in a straight line over a segment. */
export interface Course {
  readonly at: number;
  readonly perMs: number;
}

/** A short stretch of time over which everything slow goes in straight lines, and nothing begins or ends. */
export interface Segment {
  readonly fromMs: number;
  readonly toMs: number;
  readonly running: boolean;
  readonly travel: Course;
  /** Length of the chain, new and at the reference. */
  readonly loopMm: number;
  readonly carriages: readonly CarriageCourse[];
  /** Temperatures as they are measured, °C. */
  readonly zones: readonly Course[];
  readonly ambient: Course;
  /** The conveyor at both ends, breathing left out. */
  readonly begin: Stand;
  readonly end: Stand;
}

export interface CarriageCourse {
  readonly x: Course;
  readonly skewMm: Course;
  readonly innerMm: number;
  readonly outerMm: number;
  readonly breathingShare: number;
  /** By how much a side's spring is longer than its position is large. */
  readonly springBeyondMm: readonly [number, number];
  /** What the position sensors read beyond the truth. */
  readonly shiftMm: readonly [number, number];
}

/** Value of a course so long after the segment's start. */
export function along({ at, perMs }: Course, sinceMs: number): number {
  return at + perMs * sinceMs;
}

/** The segment between two states of a conveyor. @param begin - where the first one stands, where that is known already */
export function segmentBetween(
  physics: ChainPhysics,
  from: ConveyorState,
  to: ConveyorState,
  lasting: Lasting,
  begin = physics.standAt(from, from.timeMs, lasting),
): Segment {
  const { conveyor } = physics;
  const ms = to.timeMs - from.timeMs;
  const course = (a: number, b: number): Course => ({ at: a, perMs: (b - a) / ms });
  const end = physics.standAt(to, to.timeMs, lasting);
  return {
    fromMs: from.timeMs,
    toMs: to.timeMs,
    running: from.running,
    travel: course(from.travelMm, to.travelMm),
    loopMm: from.pitches * conveyor.chain.pitchMm,
    carriages: from.carriages.map((state, index) => carriageCourse(state, index, begin, end, course, lasting, conveyor.takeups[index]?.id)),
    zones: from.zones.map(({ airC }, index) =>
      course(
        airC + physics.warmth.extraC(index, from.timeMs),
        (to.zones[index] as ZoneState).airC + physics.warmth.extraC(index, to.timeMs),
      ),
    ),
    ambient: course(begin.ambientC, end.ambientC),
    begin,
    end,
  };
}

function carriageCourse(
  { left, right }: CarriageState,
  index: number,
  begin: Stand,
  end: Stand,
  course: (a: number, b: number) => Course,
  lasting: Lasting,
  takeup = '',
): CarriageCourse {
  const a = begin.carriages[index] as Stand['carriages'][number];
  const b = end.carriages[index] as Stand['carriages'][number];
  return {
    x: course(a.xMm, b.xMm),
    skewMm: course(a.skewMm, b.skewMm),
    innerMm: a.innerMm,
    outerMm: a.outerMm,
    breathingShare: breathingShare(lasting, takeup),
    springBeyondMm: [left.setSpringMm - left.setMm, right.setSpringMm - right.setMm],
    shiftMm: [left.shiftMm, right.shiftMm],
  };
}
