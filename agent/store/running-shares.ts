import type { RunningShares } from './series.js';

/** From its time on a conveyor ran (1), stood (0), or it was not known (null). */
export interface RunningTurn {
  readonly timeMs: number;
  readonly running: number | null;
}

/**
 * Which share of each point a conveyor ran and stood.
 *
 * @param turns - in order of time, from the last before the range on
 * @param knownToMs - of what came later nothing is known yet
 */
export function runningShares(
  turns: readonly RunningTurn[],
  { fromMs, toMs, widthMs }: { readonly fromMs: number; readonly toMs: number; readonly widthMs: number },
  knownToMs: number,
): RunningShares {
  const startMs = Math.floor(fromMs / widthMs) * widthMs;
  const count = Math.max(0, Math.ceil((toMs - startMs) / widthMs));
  const [ran, stood] = [new Array<number>(count).fill(0), new Array<number>(count).fill(0)];
  turns.forEach(({ timeMs, running }, index) => {
    if (running === null) return;
    const endMs = Math.min(turns[index + 1]?.timeMs ?? Infinity, knownToMs, startMs + count * widthMs);
    spread(running === 1 ? ran : stood, Math.max(timeMs, startMs) - startMs, endMs - startMs, widthMs);
  });
  // Four digits are less than a pixel's share of anything.
  const rounded = (shares: readonly number[]): readonly number[] => shares.map((share) => Math.round(share * 1e4) / 1e4);
  return { fromMs: startMs, widthMs, ran: rounded(ran), stood: rounded(stood) };
}

/** Adds a stretch to the points that it covers. */
function spread(shares: number[], from: number, to: number, width: number): void {
  for (let at = from; at < to;) {
    const place = Math.floor(at / width);
    const end = Math.min(to, (place + 1) * width);
    shares[place] = (shares[place] ?? 0) + (end - at) / width;
    at = end;
  }
}
