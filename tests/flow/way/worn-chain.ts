import { expect } from 'vitest';
import type { SettledDayOutput } from '../../../agent/flow/output.js';
import { carriageMm, type ChainModel, type ChainState } from './chain-model.js';
import { HOUR_MS, readings, sides, told, type Run, type TestInput } from './run.js';
import { START_MS, testSite } from './test-site.js';

/** The chain of the tests' site as the closure has it, apart from the program. */
export const MODEL: ChainModel = { pitchMm: 76.2, gain: 2, reference: { pitches: 3200, elongation: 0, positionMm: 40 } };
/** Read once a minute, with a running signal. */
export const SITE = testSite({ position: { period_s: 60 }, conveyor: { signals: { running: { period_s: 60 } } } });
export const DAY_MS = 24 * HOUR_MS;
/** Noon of the second day, in a stop of an hour. */
export const WORK_MS = START_MS + 30 * HOUR_MS;
export const END_MS = START_MS + 4 * DAY_MS;

/** Wear that has moved the carriage out by 80 mm, and goes on at 0.6 mm a day. */
export const wear = (timeMs: number): number => (160 + (1.2 * (timeMs - START_MS)) / DAY_MS) / (3200 * 76.2);
export const running = (timeMs: number): Record<string, number> => ({ 'line/running': Math.abs(timeMs - WORK_MS) < HOUR_MS / 2 ? 0 : 1 });

/** Readings once a minute of a conveyor that stands for the hour around the work. */
export function recording(position: (timeMs: number) => number): TestInput[] {
  return readings(START_MS, END_MS, 60, (timeMs) => ({ ...running(timeMs), ...sides(position(timeMs)) }));
}

/** Where the carriage stands as its chain goes through these states. */
export const at =
  (state: (timeMs: number) => ChainState, model = MODEL) =>
  (timeMs: number): number =>
    carriageMm(model, state(timeMs));

/** A chain of which so many pitches are taken out in the stop. */
export const shortened = (pitches: number): ((timeMs: number) => number) =>
  at((timeMs) => ({ pitches: timeMs < WORK_MS ? 3200 : 3200 - pitches, elongation: wear(timeMs) }));

/** ε in % at the middle of each day's readings: wear is even, so that is their median. */
export function wornPct(date: string): number {
  const noon = Date.parse(`${date}T11:00:00Z`);
  const [from, to] = [Math.max(START_MS, noon - DAY_MS / 2), Math.min(END_MS, noon + DAY_MS / 2)];
  return wear((from + to) / 2) * 100;
}

/** A day's median falls between windows of a quarter of an hour: 0.02 mm of wear. */
export function expectWorn(day: SettledDayOutput, pct: number): void {
  expect(Math.abs(day.elongationPct - pct), `${day.date}: ${day.elongationPct} against ${pct}`).toBeLessThan(0.00002);
}

/** What was told of changes that nobody wrote down. */
export const unrecordedTold = ({ alarms }: Run): string[] => told(alarms.filter(({ alarm }) => alarm === 'change-unrecorded'));
