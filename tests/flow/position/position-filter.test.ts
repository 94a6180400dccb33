import { describe, expect, it, test } from 'vitest';
import { DEFAULT_FILTER, PositionFilter } from '../../../agent/flow/position/position-filter.js';
import { signalOf } from '../sample/signal.js';

/** Feeds readings and gives what the filter took as good. */
function feed(filter: PositionFilter, readings: readonly (readonly [number, number])[]): (readonly [number, number])[] {
  return readings.flatMap(([timeMs, value]) => {
    filter.stage(timeMs, value);
    filter.judgeStaged();
    return goodUpTo(filter, filter.judgedUpTo(0));
  });
}

function goodUpTo(filter: PositionFilter, upTo: number): (readonly [number, number])[] {
  const good: (readonly [number, number])[] = [];
  while (filter.taken < upTo) if (filter.takeNext()) good.push([filter.timeMs, filter.spikeFree]);
  return good;
}

const every = (everyMs: number, values: readonly number[]): (readonly [number, number])[] => values.map((value, i) => [i * everyMs, value]);

describe('a length signal', () => {
  it('gives its readings without the spikes, three readings late', () => {
    const filter = new PositionFilter(signalOf({ resolutionMm: 0.1 }), DEFAULT_FILTER);
    const good = feed(filter, every(1000, [41, 41, 41, 41, 141, 41, 41, 41, 41, 41]));
    expect(good.map(([timeMs]) => timeMs)).toEqual([0, 1000, 2000, 3000, 5000, 6000]);
    expect(good.every(([, value]) => value === 41)).toBe(true);
    expect(filter.smoothed).toBe(41);
  });

  test.each([
    [1, 30],
    [10, 30],
    [60, 60],
  ])('with a period of %d s is smoothed with a time constant of %d s', (periodS, tauS) => {
    const filter = new PositionFilter(signalOf({ periodS }), DEFAULT_FILTER);
    const values = [40, 40, 40, 40, 50, 50, 50, 50, 50];
    feed(filter, every(periodS * 1000, values));
    // The first reading of the step and one after it were judged: two weights of 1 − exp(−Δt/τ) towards it.
    expect(filter.smoothed).toBeCloseTo(50 - 10 * Math.exp((-2 * periodS) / tauS), 9);
  });

  it('faster than once a second counts no neighbour more than three seconds away', () => {
    const fast = new PositionFilter(signalOf({ periodS: 0.5, resolutionMm: 0.1 }), DEFAULT_FILTER);
    const slow = new PositionFilter(signalOf({ periodS: 1, resolutionMm: 0.1 }), DEFAULT_FILTER);
    const sparse = every(2000, [41, 41, 41, 141, 41, 41, 41]);
    expect(feed(fast, sparse).some(([, value]) => value === 141)).toBe(true);
    expect(feed(slow, sparse).some(([, value]) => value === 141)).toBe(false);
  });

  it('starts anew after a fault, with nothing known', () => {
    const filter = new PositionFilter(signalOf(), DEFAULT_FILTER);
    feed(filter, every(1000, [41, 41, 41, 41]));
    filter.restart();
    expect([filter.timeMs, filter.spikeFree, filter.smoothed]).toEqual([NaN, NaN, NaN]);
    expect(
      feed(filter, [
        [60_000, 90],
        [61_000, 90],
        [62_000, 90],
      ]),
    ).toEqual([]);
    expect(feed(filter, [[63_000, 90]])).toEqual([[60_000, 90]]);
    expect(filter.smoothed).toBe(90);
  });
});
