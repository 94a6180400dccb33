import type { PositionSeries, TemperatureSeries } from '../../../agent/store/series.js';
import type { CoarseReason } from './answers.js';

const MINUTE_MS = 60_000;
/** Widths that divide a minute. */
const WIDTHS_MS = [100, 200, 500, 1000, 2000, 5000, 10_000, 15_000, 20_000, 30_000] as const;
/** Means of the same minute differ by less, unless the sensor is scaled otherwise by now. */
const SAME_MM = 0.5;

/** Whether points are wider than minutes and pixels ask for: minutes are let go in time, hours are not. */
export function isCoarse(widthMs: number, fromMs: number, toMs: number, px: number): boolean {
  return widthMs > 2 * Math.max(MINUTE_MS, (toMs - fromMs) / (px - 1));
}

/**
 * How wide a point is drawn from readings, ms: the least width that neither a pixel nor the time between two readings is wider than, so
 * that both sides are in every point; undefined where minutes will do.
 *
 * @param periodS - how often the sides are read
 */
export function finerWidthMs(fromMs: number, toMs: number, px: number, periodS: number): number | undefined {
  const leastMs = Math.max((toMs - fromMs) / (px - 1), 1000 * periodS);
  return WIDTHS_MS.find((widthMs) => widthMs >= leastMs);
}

/**
 * Why what was drawn from readings does not stand for the minutes that were kept of the same time: readings are let go after a month, and
 * a site file that was changed since reads them otherwise. Undefined where it does.
 */
export function whyNotFiner(minutes: PositionSeries, finer: PositionSeries, fromMs: number, toMs: number): CoarseReason | undefined {
  const means = meansByMinute(finer);
  const apart: number[] = [];
  for (const [index, timeMs] of minutes.timeMs.entries()) {
    const mean = minutes.meanMm[index];
    // The first and the last minute may lie half within.
    if (typeof mean !== 'number' || timeMs < fromMs || timeMs + MINUTE_MS > toMs) continue;
    const own = means.get(timeMs);
    if (own === undefined) return 'readings-gone';
    apart.push(Math.abs(own - mean));
  }
  const median = apart.toSorted((a, b) => a - b)[apart.length >> 1] ?? 0;
  return median > SAME_MM ? 'other-settings' : undefined;
}

function meansByMinute({ timeMs, meanMm, count }: PositionSeries): ReadonlyMap<number, number> {
  const sums = new Map<number, readonly [sum: number, count: number]>();
  timeMs.forEach((ms, index) => {
    const [mean, weight] = [meanMm[index], count[index] ?? 0];
    if (typeof mean !== 'number') return;
    const minuteMs = Math.floor(ms / MINUTE_MS) * MINUTE_MS;
    const [sum, before] = sums.get(minuteMs) ?? [0, 0];
    sums.set(minuteMs, [sum + mean * weight, before + weight]);
  });
  return new Map([...sums].map(([ms, [sum, count]]) => [ms, sum / count]));
}

/** Settled values are of days, so a finer point has that of its minute. */
export function withSettled(finer: PositionSeries, minutes: PositionSeries): PositionSeries {
  const settled = byMinute(minutes.timeMs, minutes.settledMm);
  return { ...finer, settledMm: finer.timeMs.map((timeMs, index) => (finer.count[index] === 0 ? null : settled(timeMs))) };
}

/** How warm the chain is follows from hours, so a finer point has what was kept of its minute. */
export function withChain(finer: TemperatureSeries, minutes: TemperatureSeries | undefined): TemperatureSeries {
  const chain = byMinute(minutes?.timeMs ?? [], minutes?.chainC ?? []);
  return { ...finer, chainC: finer.timeMs.map((timeMs, index) => (finer.count[index] === 0 ? null : chain(timeMs))) };
}

function byMinute(timeMs: readonly number[], values: readonly (number | null)[]): (timeMs: number) => number | null {
  const known = new Map(timeMs.map((ms, index) => [ms, values[index] ?? null]));
  return (ms) => known.get(Math.floor(ms / MINUTE_MS) * MINUTE_MS) ?? null;
}
