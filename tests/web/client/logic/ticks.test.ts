import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scaleTicks } from '../../../../web/client/logic/ticks.js';

const labels = (end: number, most: number) => scaleTicks(end, most).flatMap(({ label }) => label ?? []);

describe('the marks of a scale', () => {
  it('stand at round numbers, five to a label', () => {
    expect(labels(230, 6)).toEqual(['0', '50', '100', '150', '200']);
    expect(scaleTicks(230, 6)[1]).toEqual({ value: 10 });
  });

  it('have decimals only where they need them', () => {
    expect(labels(9.06, 5)).toEqual(['0', '2', '4', '6', '8']);
    expect(labels(1.5, 4)).toEqual(['0.0', '0.5', '1.0', '1.5']);
  });

  it('are none where there is no room', () => {
    expect(scaleTicks(230, 0.4)).toEqual([]);
    expect(scaleTicks(0, 6)).toEqual([]);
  });

  it('never stand closer than asked, nor outside the scale', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 5_000, noNaN: true }), fc.integer({ min: 1, max: 30 }), (end, most) => {
        const ticks = scaleTicks(end, most);
        expect(ticks.filter(({ label }) => label !== undefined).length).toBeLessThanOrEqual(most + 1);
        expect(ticks.every(({ value }) => value >= 0 && value <= end * (1 + 1e-9))).toBe(true);
      }),
    );
  });
});
