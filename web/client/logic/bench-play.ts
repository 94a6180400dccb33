import type { BenchResult } from '../../../agent/contract/bench.js';

/** How fast a recording is played: so many seconds of it in a second; Infinity: as fast as it goes. */
export const SPEEDS = [1, 10, 60, 600, 3600, 36_000, Infinity] as const;

/** As fast as it goes is so many pictures of the whole: each of them is worked out by the server. */
const FASTEST_PICTURES = 100;
/** A step is such a share of what is in view. */
const STEPS_IN_VIEW = 200;

export function speedWords(speed: number): string {
  if (speed === Infinity) return 'as fast as it goes';
  if (speed < 60) return `${speed}×`;
  if (speed < 3600) return `${speed / 60} min a second`;
  return speed === 3600 ? '1 h a second' : `${speed / 3600} h a second`;
}

/** A stretch of a recording, epoch ms. */
export interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Where the playing stands after so much time of ours, and whether it goes on. */
export function played(
  atMs: number,
  tookMs: number,
  speed: number,
  { fromMs, toMs }: Stretch,
): { readonly atMs: number; readonly goesOn: boolean } {
  const next = Math.round(atMs + (speed === Infinity ? (toMs - fromMs) / FASTEST_PICTURES : tookMs * speed));
  return next >= toMs ? { atMs: toMs, goesOn: false } : { atMs: next, goesOn: true };
}

/** The instant a step on, or back: a second at least, and more where more is in view. */
export function stepped(atMs: number, view: Stretch, whole: Stretch, backwards: boolean): number {
  const step = Math.max(1000, Math.round((view.toMs - view.fromMs) / STEPS_IN_VIEW / 1000) * 1000);
  return Math.min(Math.max(atMs + (backwards ? -step : step), whole.fromMs), whole.toMs);
}

/** The next instant at which something is told after (or, backwards, before) an instant; the end (or the beginning) where nothing is. */
export function nextEvent({ alarms, findings, firstMs, lastMs }: BenchResult, atMs: number, backwards: boolean): number {
  const times = [...alarms, ...findings].map(({ timeMs }) => timeMs);
  const there = times.filter((timeMs) => (backwards ? timeMs < atMs : timeMs > atMs));
  if (there.length === 0) return backwards ? firstMs : lastMs;
  return backwards ? Math.max(...there) : Math.min(...there);
}

/** A shorter stretch around an instant, or a longer one, inside the whole. */
export function zoomed({ fromMs, toMs }: Stretch, aroundMs: number, times: number, whole: Stretch): Stretch {
  const width = Math.min(Math.max((toMs - fromMs) * times, 10_000), whole.toMs - whole.fromMs);
  const middle = Math.min(Math.max(aroundMs, fromMs), toMs);
  const share = toMs === fromMs ? 0.5 : (middle - fromMs) / (toMs - fromMs);
  const from = Math.min(Math.max(middle - share * width, whole.fromMs), whole.toMs - width);
  return { fromMs: Math.round(from), toMs: Math.round(from + width) };
}

/** The same width of view, moved so far that an instant is in it. */
export function following({ fromMs, toMs }: Stretch, atMs: number, whole: Stretch): Stretch {
  if (atMs >= fromMs && atMs <= toMs) return { fromMs, toMs };
  const width = toMs - fromMs;
  const from = Math.min(Math.max(atMs - width / 10, whole.fromMs), Math.max(whole.fromMs, whole.toMs - width));
  return { fromMs: Math.round(from), toMs: Math.round(from + width) };
}
