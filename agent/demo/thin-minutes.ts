import type { MinuteOutput, TemperatureOutput } from '../flow/output.js';

const HOUR_MS = 3600_000;

/** Minutes from a time on as they are; those before it drawn together by the hour, extremes kept. */
export function hourly(minutes: readonly MinuteOutput[], minutesFromMs: number): MinuteOutput[] {
  return thinned(minutes, minutesFromMs, ({ conveyor, takeup }) => `${conveyor}/${takeup}`, together);
}

/** The same of temperatures. */
export function hourlyTemperatures(minutes: readonly TemperatureOutput[], minutesFromMs: number): TemperatureOutput[] {
  return thinned(minutes, minutesFromMs, ({ signal }) => signal, warmTogether);
}

function thinned<T extends { readonly timeMs: number }>(
  minutes: readonly T[],
  minutesFromMs: number,
  nameOf: (minute: T) => string,
  join: (a: T, b: T) => T,
): T[] {
  const hours = new Map<string, T>();
  const kept: T[] = [];
  for (const minute of minutes) {
    if (minute.timeMs >= minutesFromMs) {
      kept.push(minute);
      continue;
    }
    const timeMs = Math.floor(minute.timeMs / HOUR_MS) * HOUR_MS;
    const key = `${nameOf(minute)}/${String(timeMs)}`;
    const hour = hours.get(key);
    hours.set(key, hour ? join(hour, minute) : { ...minute, timeMs });
  }
  return [...hours.values(), ...kept];
}

function together(a: MinuteOutput, b: MinuteOutput): MinuteOutput {
  const count = a.count + b.count;
  const mean = (x: number, y: number): number => (Number.isNaN(x) ? y : Number.isNaN(y) ? x : (x * a.count + y * b.count) / count);
  return {
    ...a,
    count,
    minMm: Math.min(a.minMm, b.minMm),
    maxMm: Math.max(a.maxMm, b.maxMm),
    meanMm: mean(a.meanMm, b.meanMm),
    springMinMm: Math.min(a.springMinMm, b.springMinMm),
    tensionN: mean(a.tensionN, b.tensionN),
    tensionMinN: extreme(Math.min, a.tensionMinN, b.tensionMinN),
    tensionMaxN: extreme(Math.max, a.tensionMaxN, b.tensionMaxN),
  };
}

/** Of two numbers of which one may be unknown. */
function extreme(of: (a: number, b: number) => number, a: number, b: number): number {
  return Number.isNaN(a) ? b : Number.isNaN(b) ? a : of(a, b);
}

function warmTogether(a: TemperatureOutput, b: TemperatureOutput): TemperatureOutput {
  const count = a.count + b.count;
  const meanC = (a.meanC * a.count + b.meanC * b.count) / count;
  return { ...a, count, minC: Math.min(a.minC, b.minC), maxC: Math.max(a.maxC, b.maxC), meanC, chainC: b.chainC };
}
