import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Resistance, developedMm, tensionAfterN, tensionBeforeN } from '../../agent/plan/loop-step.js';
import { DRIVE, curve, straight } from './loops.js';

const stretch = fc.oneof(
  fc
    .tuple(
      fc.double({ min: 1, max: 200, noNaN: true }),
      fc.double({ min: -1, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 800, noNaN: true }),
      fc.double({ min: 0, max: 0.3, noNaN: true }),
    )
    .map(([length, slope, load, friction]) => straight(length, length * slope, load, friction)),
  fc
    .tuple(
      fc.double({ min: 5, max: 180, noNaN: true }),
      fc.double({ min: 0, max: 0.2, noNaN: true }),
      fc.double({ min: 0, max: 800, noNaN: true }),
    )
    .map(([angle, friction, load]) => curve(angle, friction, 0.6, load)),
) as fc.Arbitrary<Resistance>;

describe('tension along a stretch', () => {
  it('grows on the level by the friction of the load', () => {
    expect(tensionAfterN(1000, straight(50, 0, 200, 0.05) as Resistance)).toBeCloseTo(1500, 9);
  });

  it('grows on a climb by the weight that is lifted too, with the friction over the run alone', () => {
    // 10 m that rise by 6 m run 8 m: 200·(0.05·8 + 6).
    expect(tensionAfterN(0, straight(10, 6, 200, 0.05) as Resistance)).toBeCloseTo(1280, 9);
    expect(tensionAfterN(2000, straight(10, -6, 200, 0.05) as Resistance)).toBeCloseTo(2000 - 1120, 9);
    expect(tensionAfterN(0, straight(6, 6, 200, 0.05) as Resistance)).toBeCloseTo(1200, 9);
  });

  it('grows in a curve by belt friction, and by the friction of the load over the arc', () => {
    expect(tensionAfterN(1000, curve(90, 0.1) as Resistance)).toBeCloseTo(1000 * Math.exp(0.05 * Math.PI), 9);
    // A half turn of 2 m radius is 6.283 m: 0.05 · 300 N/m · 6.283 m = 94.25 N on top.
    expect(tensionAfterN(1000, curve(180, 0.05, 2, 300) as Resistance)).toBeCloseTo(1000 * Math.exp(0.05 * Math.PI) + 94.2478, 4);
  });

  it('of a slack chain grows in a curve by its load alone: it does not press on the track', () => {
    expect(tensionAfterN(-500, curve(180, 0.1) as Resistance)).toBe(-500);
  });

  it('is led back to where it came from', () => {
    fc.assert(
      fc.property(fc.double({ min: -5000, max: 20_000, noNaN: true }), stretch, (tensionN, segment) => {
        expect(tensionBeforeN(tensionAfterN(tensionN, segment), segment)).toBeCloseTo(tensionN, 5);
      }),
    );
  });

  it('behind a stretch rises with the tension before it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5000, max: 20_000, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        stretch,
        (tensionN, more, segment) => {
          expect(tensionAfterN(tensionN + more, segment) - tensionAfterN(tensionN, segment)).toBeGreaterThanOrEqual(more - 1e-6);
        },
      ),
    );
  });
});

it('the developed length of a curve is its arc, that of a drive nothing', () => {
  expect(developedMm(curve(90, 0.1, 0.6))).toBeCloseTo(300 * Math.PI, 9);
  expect(developedMm(straight(12, 5, 0, 0))).toBe(12_000);
  expect(developedMm(DRIVE)).toBe(0);
});
