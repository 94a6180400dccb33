import type { MinuteOutput, TemperatureOutput } from '../flow/output.js';

const HOUR_MS = 3600_000;

type Changing<T> = { -readonly [Field in keyof T]: T[Field] };

/** Minutes from a time on as they are; those before it drawn together by the hour, extremes kept. */
export function hourly(minutes: readonly MinuteOutput[], minutesFromMs: number): MinuteOutput[] {
  return thinned(minutes, minutesFromMs, ({ conveyor, takeup }) => `${conveyor}/${takeup}`, join);
}

/** The same of temperatures. */
export function hourlyTemperatures(minutes: readonly TemperatureOutput[], minutesFromMs: number): TemperatureOutput[] {
  return thinned(minutes, minutesFromMs, ({ signal }) => signal, joinTemperatures);
}

/** @param joinTo - draws a minute into its hour; there are millions of them, so no new object is made of each */
function thinned<T extends { readonly timeMs: number }>(
  minutes: readonly T[],
  minutesFromMs: number,
  nameOf: (minute: T) => string,
  joinTo: (hour: Changing<T>, minute: T) => void,
): T[] {
  const hours = new Map<string, Map<number, Changing<T>>>();
  const thin: T[] = [];
  const kept: T[] = [];
  for (const minute of minutes) {
    if (minute.timeMs >= minutesFromMs) {
      kept.push(minute);
      continue;
    }
    const name = nameOf(minute);
    let own = hours.get(name);
    if (own === undefined) hours.set(name, (own = new Map<number, Changing<T>>()));
    const timeMs = Math.floor(minute.timeMs / HOUR_MS) * HOUR_MS;
    const hour = own.get(timeMs);
    if (hour !== undefined) {
      joinTo(hour, minute);
      continue;
    }
    const first: Changing<T> = { ...minute, timeMs };
    own.set(timeMs, first);
    thin.push(first);
  }
  return [...thin, ...kept];
}

function join(hour: Changing<MinuteOutput>, minute: MinuteOutput): void {
  hour.meanMm = mean(hour.count, hour.meanMm, minute.count, minute.meanMm);
  hour.tensionN = mean(hour.count, hour.tensionN, minute.count, minute.tensionN);
  hour.count += minute.count;
  hour.minMm = Math.min(hour.minMm, minute.minMm);
  hour.maxMm = Math.max(hour.maxMm, minute.maxMm);
  hour.springMinMm = Math.min(hour.springMinMm, minute.springMinMm);
  hour.tensionMinN = extreme(Math.min, hour.tensionMinN, minute.tensionMinN);
  hour.tensionMaxN = extreme(Math.max, hour.tensionMaxN, minute.tensionMaxN);
}

function joinTemperatures(hour: Changing<TemperatureOutput>, minute: TemperatureOutput): void {
  hour.meanC = mean(hour.count, hour.meanC, minute.count, minute.meanC);
  hour.count += minute.count;
  hour.minC = Math.min(hour.minC, minute.minC);
  hour.maxC = Math.max(hour.maxC, minute.maxC);
  hour.chainC = minute.chainC;
}

/** Of two means over so many readings, of which one may be unknown. */
function mean(countA: number, a: number, countB: number, b: number): number {
  if (Number.isNaN(a)) return b;
  return Number.isNaN(b) ? a : (a * countA + b * countB) / (countA + countB);
}

/** Of two numbers of which one may be unknown. */
function extreme(of: (a: number, b: number) => number, a: number, b: number): number {
  return Number.isNaN(a) ? b : Number.isNaN(b) ? a : of(a, b);
}
