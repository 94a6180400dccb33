import { describe, expect, it } from 'vitest';
import { settledFigures } from '../../../agent/flow/way/takeup-figures.js';
import { HOUR_MS, readings, run, sides, type Run, type TestInput } from './run.js';
import { START_MS, testSite } from './test-site.js';

const SITE = testSite({ others: [{ id: 'tu2' }, { id: 'tu3', wrap_deg: 120 }] });
const END_MS = START_MS + 30 * HOUR_MS;
/** The chain wears by half a millimetre of carriage travel an hour, shared unevenly, and each carriage breathes in its own time. */
const hours = (timeMs: number): number => (timeMs - START_MS) / HOUR_MS;
const first = (timeMs: number): Record<string, number> => sides(40 + 0.5 * hours(timeMs) + Math.sin(timeMs / 40_000));
const second = (timeMs: number): Record<string, number> => sides(60 + 0.3 * hours(timeMs) + Math.sin(timeMs / 70_000), 'tu2');
const third = (timeMs: number): Record<string, number> => sides(50 + 0.1 * hours(timeMs), 'tu3');

function ran(read: (timeMs: number) => Readonly<Record<string, number>>): Run {
  return run(SITE, readings(START_MS, END_MS, 10, read));
}

/** ε of every take-up, by day. */
function byDay({ days }: Run): Map<string, number[]> {
  const found = new Map<string, number[]>();
  for (const { date, elongationPct } of days) found.set(date, [...(found.get(date) ?? []), elongationPct]);
  return found;
}

describe('the take-ups on one chain', () => {
  const whole = ran((timeMs) => ({ ...first(timeMs), ...second(timeMs), ...third(timeMs) }));

  it('all show the same elongation, day by day', () => {
    const days = byDay(whole);
    expect([...days.keys()]).toEqual(['2026-01-05', '2026-01-06']);
    for (const [date, [one, ...others]] of days) {
      expect(one, date).toBeGreaterThan(0);
      expect(others, date).toHaveLength(2);
      for (const other of others) expect(Math.abs(other - one!), date).toBeLessThan(1e-9);
    }
  });

  it('show it at once, too, when the windows of all are in', () => {
    const way = whole.pipeline.ways[0]!;
    const shown = [0, 1, 2].map((index) => settledFigures(way, index).elongation);
    expect(shown[0]).toBeGreaterThan(0);
    for (const one of shown) expect(Math.abs(one - shown[0]!)).toBeLessThan(1e-12);
  });

  it('show the same figures in whatever order readings of one time come', () => {
    const turned = ran((timeMs) => ({ ...third(timeMs), ...second(timeMs), ...first(timeMs) }));
    const [straight, other] = [byDay(whole), byDay(turned)];
    for (const [date, values] of straight) {
      for (const value of values) expect(Math.abs(value - other.get(date)![0]!), date).toBeLessThan(1e-9);
    }
  });

  it('are paired with the nearest in time where their windows do not end together', () => {
    const shifted: TestInput[] = readings(START_MS, END_MS, 10, (timeMs) => ({
      ...first(timeMs),
      ...third(timeMs),
      // Its sensor is heard of first seven minutes later, so that its windows end seven minutes, or three, from the others'.
      ...(timeMs < START_MS + 420_000 ? {} : second(timeMs)),
    }));
    // Three minutes of wear are 0.00002 points of elongation; ten minutes would be 0.00006.
    for (const [date, [one, ...others]] of byDay(run(SITE, shifted))) {
      for (const other of others) expect(Math.abs(other - one!), date).toBeLessThan(0.00004);
    }
  });
});
