import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { zoneAfter } from '../../agent/simulate/zone-heat.js';

const seconds = fc.double({ min: 1, max: 20_000, noNaN: true });
const lag = fc.oneof(fc.constant(0), fc.constant(1500), fc.double({ min: 1, max: 5000, noNaN: true }));

describe('a zone that heads for a temperature', () => {
  it('has made 63 % of the way after its time constant', () => {
    expect(zoneAfter({ airC: 20, chainC: 20 }, 120, 1500, 1500, 0).airC).toBeCloseTo(20 + 100 * (1 - Math.exp(-1)), 9);
  });

  it('takes the chain along at once without a lag, and behind it with one', () => {
    const cold = { airC: 20, chainC: 20 };
    const quick = zoneAfter(cold, 120, 600, 1500, 0);
    expect(quick.chainC).toBe(quick.airC);
    const slow = zoneAfter(cold, 120, 600, 1500, 300);
    expect(slow.chainC).toBeGreaterThan(20);
    expect(slow.chainC).toBeLessThan(slow.airC);
  });

  it('gets to the same place however the time is cut', () => {
    fc.assert(
      fc.property(seconds, seconds, lag, (first, second, lagS) => {
        const begin = { airC: 80, chainC: 40 };
        const whole = zoneAfter(begin, 200, first + second, 1500, lagS);
        const cut = zoneAfter(zoneAfter(begin, 200, first, 1500, lagS), 200, second, 1500, lagS);
        expect(cut.airC).toBeCloseTo(whole.airC, 6);
        expect(cut.chainC).toBeCloseTo(whole.chainC, 6);
      }),
    );
  });
});
