/** Additions that take a machine with nothing else to do so many milliseconds. */
const ADDITIONS = 5e7;
const USUAL_MS = 100;

/** How many times longer than usual this machine takes just now; 1 where it has time. */
export function slowness(): number {
  const begun = performance.now();
  let sum = 0;
  for (let count = 0; count < ADDITIONS; count++) sum += count;
  // The sum is used, so that the loop is run.
  return Math.max(1, (performance.now() - begun + (sum > 0 ? 0 : 1)) / USUAL_MS);
}

/** For `expect.poll`: what must be there so soon on a machine that has time. */
export function within(ms: number): { readonly timeout: number; readonly interval: number } {
  return { timeout: ms * slowness(), interval: 25 };
}
