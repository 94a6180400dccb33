import { describe, expect, it } from 'vitest';
import { even, hash32, normal, streamOf, wander } from '../../agent/simulate/hash-noise.js';

const MANY = 100_000;
const stream = streamOf(7, 'enamel/tu1/left/position');
const counts = Array.from({ length: MANY }, (_, count) => count);

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

describe('chance without a memory', () => {
  it('gives the same number for the same stream and count, whatever was asked before', () => {
    const forward = counts.slice(0, 100).map((count) => hash32(stream, count));
    const backward = counts
      .slice(0, 100)
      .reverse()
      .map((count) => hash32(stream, count));
    expect(backward.reverse()).toEqual(forward);
  });

  it('gives another stream for every name and every seed', () => {
    const streams = new Set(['a', 'b', 'ab', 'ba'].flatMap((name) => [0, 1, 2].map((seed) => streamOf(seed, name))));
    expect(streams.size).toBe(12);
  });

  it('is even over 0 to 1', () => {
    const values = counts.map((count) => even(stream, count));
    // Standard error of the mean of so many: 0.0009.
    expect(mean(values)).toBeCloseTo(0.5, 2);
    const tenths = values.reduce(
      (shares, value) => shares.with(Math.floor(10 * value), (shares[Math.floor(10 * value)] ?? 0) + 1),
      Array.from({ length: 10 }, () => 0),
    );
    for (const share of tenths) expect(share / MANY).toBeCloseTo(0.1, 2);
  });

  it('is nearly normal: mean 0, spread 1, a third beyond one spread, neighbours unrelated', () => {
    const values = counts.map((count) => normal(stream, count));
    expect(mean(values)).toBeCloseTo(0, 1);
    expect(mean(values.map((value) => value ** 2))).toBeCloseTo(1, 1);
    expect(values.filter((value) => Math.abs(value) > 1).length / MANY).toBeCloseTo(0.32, 1);
    expect(mean(values.slice(1).map((value, i) => value * (values[i] ?? 0)))).toBeCloseTo(0, 1);
  });

  it('wanders without a jump, through its own number at every whole place', () => {
    expect(wander(stream, 5)).toBeCloseTo(normal(stream, 5), 12);
    for (let x = 0; x < 20; x += 0.01) expect(Math.abs(wander(stream, x + 0.01) - wander(stream, x))).toBeLessThan(0.15);
  });
});
