export const MINUTE_MS = 60_000;
/** How often something is read is told by so many steps on either side: it may be another in another year. */
const AROUND = 4;

/**
 * Finds after which points of a series nothing was read: where the next one is further off than what is read so often can be.
 *
 * @param timeMs - starts of the points, in order
 * @param widthMs - of a point
 */
export function isGapAfter(timeMs: readonly number[], widthMs: number): (index: number) => boolean {
  const steps = timeMs.slice(1).map((ms, i) => ms - (timeMs[i] as number));
  return (index) => {
    const step = steps[index] ?? 0;
    if (step <= widthMs) return false;
    const around = steps.slice(Math.max(0, index - AROUND), index + AROUND + 1).sort((a, b) => a - b);
    const usualMs = around[around.length >> 1] as number;
    // A sensor that is read more seldom than once a point has no gap beside every reading.
    return usualMs <= widthMs || step > 1.5 * usualMs;
  };
}
