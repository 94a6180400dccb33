import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ForcedStretch } from '../../agent/simulate/forced-stretch.js';
import type { ShiftScenario } from '../../agent/simulate/scenario.js';
import { ShiftPlan } from '../../agent/simulate/shift-plan.js';

const HOUR_MS = 3600_000;
const MONDAY_MS = Date.UTC(2026, 2, 2);
const DAY_MS = 24 * HOUR_MS;
const WORKDAY = [[360, 1320]] as const;

const SHIFTS: ShiftScenario = {
  week: [WORKDAY, WORKDAY, WORKDAY, WORKDAY, WORKDAY, [], []],
  stopsPerHour: 0,
  shortestStopS: 30,
  longestStopS: 600,
  scatterS: 0,
  forced: [],
};

function plan(over: Partial<ShiftScenario> = {}, forced: readonly ForcedStretch[] = [], timezone = 'UTC'): ShiftPlan {
  return new ShiftPlan({ ...SHIFTS, ...over }, forced, timezone, 5, 'c');
}

/** Running hours of a stretch of time. */
function hours(of: ShiftPlan, fromMs: number, toMs: number): number {
  let sum = 0;
  for (let atMs = fromMs; atMs < toMs;) {
    const { running, untilMs } = of.stateAt(atMs);
    const until = Math.min(untilMs, toMs);
    if (running) sum += (until - atMs) / HOUR_MS;
    atMs = until;
  }
  return sum;
}

describe('when a conveyor runs', () => {
  it('is in its shifts, and not at the weekend', () => {
    expect(plan().stateAt(MONDAY_MS + 6 * HOUR_MS)).toEqual({ running: true, untilMs: MONDAY_MS + 22 * HOUR_MS });
    expect(plan().stateAt(MONDAY_MS + 22 * HOUR_MS).running).toBe(false);
    expect(hours(plan(), MONDAY_MS, MONDAY_MS + 7 * DAY_MS)).toBe(80);
  });

  it('goes by the clock on the wall of the site', () => {
    // Oslo is an hour ahead of UTC in March, and two after the last Sunday of it.
    const oslo = plan({}, [], 'Europe/Oslo');
    expect(oslo.stateAt(MONDAY_MS + 5 * HOUR_MS).running).toBe(true);
    expect(oslo.stateAt(MONDAY_MS + 28 * DAY_MS + 4 * HOUR_MS).running).toBe(true);
    expect(oslo.stateAt(MONDAY_MS + 28 * DAY_MS + 4 * HOUR_MS - 1).running).toBe(false);
  });

  it('goes on over midnight without a stop where shifts touch', () => {
    const night = plan({ week: Array.from({ length: 7 }, () => [[0, 1440]] as const) });
    for (let hour = 0; hour < 72; hour++) expect(night.stateAt(MONDAY_MS + hour * HOUR_MS).running).toBe(true);
  });

  it('is broken by short stops, about as many as the scenario says, each as long as it allows', () => {
    const broken = plan({ stopsPerHour: 0.5 });
    const stops: number[] = [];
    for (let atMs = MONDAY_MS; atMs < MONDAY_MS + 84 * DAY_MS;) {
      const { running, untilMs } = broken.stateAt(atMs);
      if (!running && untilMs - atMs < HOUR_MS) stops.push((untilMs - atMs) / 1000);
      atMs = untilMs;
    }
    // 960 shift hours: 480 stops are to be expected, give or take 22.
    expect(stops.length).toBeGreaterThan(400);
    expect(stops.length).toBeLessThan(530);
    expect(Math.min(...stops)).toBeGreaterThan(1);
    expect(stops.filter((seconds) => seconds > 600).length).toBeLessThan(15);
  });

  it('is forced to run or to stand, and the last word holds', () => {
    const forced = [
      { fromMs: MONDAY_MS + 2 * HOUR_MS, toMs: MONDAY_MS + 8 * HOUR_MS, running: true },
      { fromMs: MONDAY_MS + 7 * HOUR_MS, toMs: MONDAY_MS + 9 * HOUR_MS, running: false },
    ];
    const of = plan({}, forced);
    expect([1, 2, 6, 7, 8, 9].map((hour) => of.stateAt(MONDAY_MS + hour * HOUR_MS).running)).toEqual([
      false,
      true,
      true,
      false,
      false,
      true,
    ]);
  });

  it('is the same whatever was asked before', () => {
    const busy = { stopsPerHour: 2, scatterS: 300 };
    const asked = plan(busy);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 30 * DAY_MS }), (offset) => {
        expect(asked.stateAt(MONDAY_MS + offset)).toEqual(plan(busy).stateAt(MONDAY_MS + offset));
      }),
      { numRuns: 60 },
    );
  });
});

describe('when a zone is heated', () => {
  it('is so long before a shift, and until its end', () => {
    const of = plan({ week: Array.from({ length: 7 }, () => [[30, 600]] as const) });
    const early = MONDAY_MS - HOUR_MS;
    expect(of.heated(early, HOUR_MS)).toBe(false);
    expect(of.heated(early + 0.5 * HOUR_MS, HOUR_MS)).toBe(true);
    expect(of.heated(MONDAY_MS + 10 * HOUR_MS - 1, HOUR_MS)).toBe(true);
    expect(of.heated(MONDAY_MS + 10 * HOUR_MS, HOUR_MS)).toBe(false);
  });

  it('is through a short stop and a standstill for work, and where it is made to run', () => {
    const forced = [
      { fromMs: MONDAY_MS + 8 * HOUR_MS, toMs: MONDAY_MS + 9 * HOUR_MS, running: false },
      { fromMs: MONDAY_MS + 23 * HOUR_MS, toMs: MONDAY_MS + 24 * HOUR_MS, running: true },
    ];
    expect(plan({}, forced).heated(MONDAY_MS + 8.5 * HOUR_MS, 0)).toBe(true);
    expect(plan({}, forced).heated(MONDAY_MS + 23.5 * HOUR_MS, 0)).toBe(true);
  });
});
