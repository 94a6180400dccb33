import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawSpring } from '../../../../web/client/logic/spring.js';

const SPRING = { freeMm: 320, solidMm: 150, clearanceMm: 12 };
/** One px to the millimetre. */
const WIDTH = 320;
/** Gaps between neighbouring coils, mm: of the first ones seen at their tops, of the last two at their bottoms, since the ends lie flat. */
const gaps = (lengthMm: number): number[] => {
  const { coils, wire } = drawSpring(SPRING, lengthMm, WIDTH);
  return coils.slice(1).map((coil, index) => {
    const before = coils[index]!;
    return (index === coils.length - 2 ? coil.bottom - before.bottom : coil.top - before.top) - wire;
  });
};

describe('a spring', () => {
  it('is drawn to scale along its length', () => {
    expect(drawSpring(SPRING, 250, WIDTH)).toMatchObject({ end: 250, solid: 150, shortest: 162, free: 320, wire: 15, closed: false });
  });

  it('has as much gap between its coils as is left before they touch', () => {
    fc.assert(
      fc.property(fc.double({ min: 150, max: 320, noNaN: true }), (lengthMm) => {
        const sum = gaps(lengthMm).reduce((total, gap) => total + gap, 0);
        expect(sum).toBeCloseTo(lengthMm - 150, 6);
      }),
    );
  });

  it('has closed coils when it is solid, also where its length reads less', () => {
    expect(drawSpring(SPRING, 150, WIDTH)).toMatchObject({ closed: true, end: 150 });
    expect(drawSpring(SPRING, 149.2, WIDTH)).toMatchObject({ closed: true, end: 150 });
    expect(drawSpring(SPRING, 151, WIDTH).closed).toBe(false);
  });

  it('is no longer than free', () => {
    expect(drawSpring(SPRING, 331, WIDTH).end).toBe(320);
  });

  it('has the coils of its wire where it is known, as far as they can be told apart', () => {
    expect(drawSpring({ ...SPRING, totalCoils: 9.5 }, 250, WIDTH).coils).toHaveLength(10);
    expect(drawSpring({ ...SPRING, totalCoils: 40 }, 250, WIDTH).coils).toHaveLength(16);
  });

  it('has its first and last coil flat against the seats', () => {
    const { coils, wire, end } = drawSpring(SPRING, 250, WIDTH);
    expect(coils[0]?.bottom).toBe(wire / 2);
    expect(coils.at(-1)?.top).toBeCloseTo(end - wire / 2, 9);
  });
});
