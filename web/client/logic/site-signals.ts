import type { Conveyor, Signal } from '../../../agent/site/site.js';

/** Every signal of a conveyor, in the order in which they are read in: its own, its zones, then each take-up's sides. */
export function signalsOfConveyor({ running, speed, zones, ambient, takeups }: Conveyor): readonly Signal[] {
  return [
    running,
    speed,
    ...zones.map(({ temperature }) => temperature),
    ambient?.temperature,
    ...takeups.flatMap(({ sides }) => [sides.left, sides.right].flatMap(({ position, spring }) => [position, spring])),
  ].filter((signal) => signal !== undefined);
}
