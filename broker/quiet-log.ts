/** So long a line that was just said is not said again. */
const QUIET_MS = 60_000;
/** Different lines that are remembered. */
const REMEMBERED = 1_000;

/**
 * A log that does not repeat itself: a sensor with a wrong password tries again every second, and says nothing new by it.
 * Said again after a minute, a line tells how often it was held back.
 *
 * @param nowMs - a clock; only differences matter
 */
export function createQuietLog(log: (line: string) => void, nowMs: () => number): (line: string) => void {
  const said = new Map<string, { readonly atMs: number; heldBack: number }>();
  return (line) => {
    const now = nowMs();
    const before = said.get(line);
    if (before && now - before.atMs < QUIET_MS) {
      before.heldBack++;
      return;
    }
    if (said.size >= REMEMBERED) said.clear();
    said.set(line, { atMs: now, heldBack: 0 });
    log(before && before.heldBack > 0 ? `${line} (and ${before.heldBack} times more since it was last said)` : line);
  };
}
