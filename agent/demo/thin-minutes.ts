import type { MinuteOutput } from '../flow/output.js';

const HOUR_MS = 3600_000;

/** Minutes from a time on as they are; those before it drawn together by the hour, extremes kept. */
export function hourly(minutes: readonly MinuteOutput[], minutesFromMs: number): MinuteOutput[] {
  const hours = new Map<string, MinuteOutput>();
  const kept: MinuteOutput[] = [];
  for (const minute of minutes) {
    if (minute.timeMs >= minutesFromMs) {
      kept.push(minute);
      continue;
    }
    const timeMs = Math.floor(minute.timeMs / HOUR_MS) * HOUR_MS;
    const key = `${minute.conveyor}/${minute.takeup}/${String(timeMs)}`;
    const hour = hours.get(key);
    hours.set(key, hour ? together(hour, minute) : { ...minute, timeMs });
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
  };
}
