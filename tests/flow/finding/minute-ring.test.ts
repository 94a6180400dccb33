import fc from 'fast-check';
import { median } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { MinuteRing } from '../../../agent/flow/finding/minute-ring.js';

const samples = fc.array(fc.tuple(fc.integer({ min: 500, max: 9000 }), fc.double({ min: 0, max: 230, noNaN: true })), {
  minLength: 1,
  maxLength: 300,
});

describe('the last minute', () => {
  it('has the median of its samples, and never says of a value far off that it cannot be', () => {
    fc.assert(
      fc.property(samples, fc.double({ min: 0, max: 230, noNaN: true }), (steps, value) => {
        const ring = new MinuteRing();
        const all: (readonly [number, number])[] = [];
        let timeMs = 0;
        for (const [gap, mm] of steps) {
          timeMs += gap;
          ring.forgetBefore(timeMs);
          ring.push(timeMs, mm);
          all.push([timeMs, mm]);
        }
        const within = all.filter(([at]) => timeMs - at <= 60_000).map(([, mm]) => mm);
        expect(ring.size).toBe(within.length);
        expect(ring.median()).toBeCloseTo(median(within), 9);
        if (Math.abs(value - median(within)) >= 8) expect(ring.mayBeOff(value, 8)).toBe(true);
        const back = new MinuteRing(JSON.parse(JSON.stringify(ring.save())) as ReturnType<MinuteRing['save']>);
        expect([back.size, back.median()]).toEqual([ring.size, ring.median()]);
      }),
    );
  });

  it('keeps as many samples as fit, should a clock run wild', () => {
    const ring = new MinuteRing();
    for (let i = 0; i < 1000; i++) ring.push(i, i);
    expect(ring.median()).toBeGreaterThan(900);
  });
});
