export const MINUTE_MS = 60_000;

/**
 * Finds after which points of a series nothing was read: where the next one is further off than what is read so often can be.
 *
 * @param timeMs - starts of the points, in order
 * @param widthMs - of a point
 */
export function isGapAfter(timeMs: readonly number[], widthMs: number): (index: number) => boolean {
  const steps = timeMs.slice(1).map((ms, i) => ms - (timeMs[i] as number));
  const usualMs = steps.length === 0 ? widthMs : (steps.toSorted((a, b) => a - b)[steps.length >> 1] as number);
  // A sensor that is read more seldom than once a point has no gap beside every reading.
  const longestMs = usualMs > widthMs ? 1.5 * usualMs : widthMs;
  return (index) => (steps[index] ?? 0) > longestMs;
}
