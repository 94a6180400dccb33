/** The wall clock, handed in where something must know the time, so that tests hand in their own. */
export interface Clock {
  nowMs(): number;
}

export const WALL_CLOCK: Clock = Object.freeze({ nowMs: () => Date.now() });
