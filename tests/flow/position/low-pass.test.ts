import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LowPass } from '../../../agent/flow/position/low-pass.js';

const TAU_MS = 30_000;

describe('the smoothing', () => {
  it('takes its first value as it is', () => {
    expect(new LowPass(TAU_MS).push(5000, 41)).toBe(41);
  });

  it('has done 63 % of a step after one time constant, however it was sampled', () => {
    // [own] 1 − 1/e of a step, the definition of a time constant.
    const done = fc.array(fc.integer({ min: 1, max: 4000 }), { minLength: 1, maxLength: 80 });
    fc.assert(
      fc.property(done, (gaps) => {
        const total = gaps.reduce((sum, gap) => sum + gap, 0);
        const smooth = new LowPass(TAU_MS);
        smooth.push(0, 0);
        let timeMs = 0;
        for (const gap of gaps) smooth.push((timeMs += (gap * TAU_MS) / total), 10);
        expect(smooth.value).toBeCloseTo(10 * (1 - Math.exp(-1)), 9);
      }),
    );
  });

  it('stays within what it was given', () => {
    const readings = fc.array(fc.tuple(fc.integer({ min: 0, max: 90_000 }), fc.double({ min: -100, max: 300, noNaN: true })), {
      minLength: 1,
    });
    fc.assert(
      fc.property(readings, (some) => {
        const smooth = new LowPass(TAU_MS);
        let timeMs = 0;
        for (const [gap, value] of some) smooth.push((timeMs += gap), value);
        const values = some.map(([, value]) => value);
        expect(smooth.value).toBeGreaterThanOrEqual(Math.min(...values) - 1e-9);
        expect(smooth.value).toBeLessThanOrEqual(Math.max(...values) + 1e-9);
      }),
    );
  });

  it('starts anew after a gap', () => {
    const smooth = new LowPass(TAU_MS);
    smooth.push(0, 41);
    smooth.forget();
    expect(smooth.value).toBeNaN();
    expect(smooth.push(1000, 90)).toBe(90);
  });

  it('goes on from what was saved through JSON as if nothing had been', () => {
    const whole = new LowPass(TAU_MS);
    let halves = new LowPass(TAU_MS);
    [41, 42, 44, 43, 48].forEach((value, i) => {
      whole.push(i * 700, value);
      halves = new LowPass(TAU_MS, JSON.parse(JSON.stringify(halves.save())) as ReturnType<LowPass['save']>);
      halves.push(i * 700, value);
    });
    expect(halves.value).toBe(whole.value);
  });
});
