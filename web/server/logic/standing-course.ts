/** How many of something there were through time. */
export interface StandingCourse {
  /** How many at an instant. */
  at(atMs: number): number;
  /** The most at any instant from one to another, both included. */
  peak(fromMs: number, toMs: number): number;
}

/** @param stretches - null: from before anything is known, or to its end. At its first instant one is there, at its last no more */
export function courseOf(stretches: readonly { readonly fromMs: number | null; readonly toMs: number | null }[]): StandingCourse {
  const steps = new Map<number, number>();
  const step = (atMs: number, by: number): Map<number, number> => steps.set(atMs, (steps.get(atMs) ?? 0) + by);
  for (const { fromMs, toMs } of stretches) {
    step(fromMs ?? -Infinity, 1);
    if (toMs !== null) step(toMs, -1);
  }
  const times = [...steps.keys()].toSorted((a, b) => a - b);
  const counts: number[] = [];
  for (const time of times) counts.push((counts.at(-1) ?? 0) + (steps.get(time) ?? 0));

  /** Of the last step up to an instant; −1 before the first. */
  const indexAt = (atMs: number): number => {
    let [low, high] = [0, times.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((times[middle] ?? Infinity) <= atMs) low = middle + 1;
      else high = middle;
    }
    return low - 1;
  };
  const at = (atMs: number): number => counts[indexAt(atMs)] ?? 0;
  const peak = (fromMs: number, toMs: number): number => {
    let most = at(fromMs);
    for (let index = indexAt(fromMs) + 1; index <= indexAt(toMs); index++) most = Math.max(most, counts[index] ?? 0);
    return most;
  };
  return { at, peak };
}
