/** Where the carriage stands in its stroke, and what it needs beyond its settled position. All in mm of carriage. */
export interface StrokeReserve {
  readonly strokeMm: number;
  /** Settled position, from the inner stop. NaN where not known. */
  readonly positionMm: number;
  /** 5–95 % range of the normal to-and-fro. */
  readonly breathingMm: number;
  /** Outward movement by heat still to come on a day like this, 0 where fully warm. */
  readonly heatToComeMm: number;
  /** Outward movement from now to the warmest of the season. */
  readonly seasonalMm: number;
}

/** What is left of the stroke. */
export interface StrokeNeed {
  /** The settled position stands within its breathing of the outer stop, or touches it. */
  readonly usedUp: boolean;
  /** Travel until the settled position and the normal excess reach the outer stop. */
  readonly leftMm: number;
  /** The same until the stroke counts as used up, if that comes first. */
  readonly leftEarlyMm: number;
}

/**
 * Travel left outwards. The excess is half the breathing, which goes to both sides of the settled position, and heat and season;
 * the early date counts on the whole breathing, at which the stroke is said to be used up.
 */
export function strokeNeed({ strokeMm, positionMm, breathingMm, heatToComeMm, seasonalMm }: StrokeReserve): StrokeNeed {
  const remaining = strokeMm - positionMm;
  const excess = breathingMm / 2 + heatToComeMm + seasonalMm;
  return {
    usedUp: remaining <= breathingMm,
    leftMm: remaining - excess,
    leftEarlyMm: remaining - Math.max(excess, breathingMm),
  };
}

/** A day's settled position and breathing, whether value or bound. */
export interface StrokeDay {
  readonly date: string;
  readonly positionMm: number;
  readonly breathingMm: number;
}

/**
 * The day on which the stroke came to be used up: the first of the days, unbroken up to the last, with the settled position within its
 * breathing of the outer stop. Days whose position is not known do not break them.
 *
 * @param days - from the last one back
 * @returns undefined where the stroke is not used up
 */
export function strokeReachedOn(days: Iterable<StrokeDay>, strokeMm: number): string | undefined {
  let since: string | undefined;
  for (const { date, positionMm, breathingMm } of days) {
    if (Number.isNaN(positionMm)) continue;
    if (strokeMm - positionMm > (Number.isNaN(breathingMm) ? 0 : breathingMm)) break;
    since = date;
  }
  return since;
}
