import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { saysShorten, wearLeft } from '../../agent/plan/wear-left.js';

const CHAIN = { pitches: 3200, removedPitches: 4, pitchMm: 76.2, limit: 0.02, near: 0.016 };

describe('what wear leaves of a chain', () => {
  it('is the lengthening up to the limit', () => {
    expect(wearLeft({ ...CHAIN, elongation: 0.005 }).lengtheningLeftMm).toBeCloseTo(0.015 * 3200 * 76.2, 9);
    expect(wearLeft({ ...CHAIN, elongation: 0.025 }).lengtheningLeftMm).toBe(0);
  });

  it('lets the next removal of the same length fall due when that length has worn again', () => {
    // By hand: 100 pitches less 10 leave 90; they wear 10 pitches again at 10/90 = 11.1 %, and the 80 after that 10·1.111/80 more, 25 %.
    const few = { pitches: 100, removedPitches: 10, pitchMm: 50, elongation: 0, near: 1 };
    expect(wearLeft({ ...few, limit: 0.111 }).furtherShortenings).toBe(0);
    expect(wearLeft({ ...few, limit: 0.112 }).furtherShortenings).toBe(1);
    expect(wearLeft({ ...few, limit: 0.2499 }).furtherShortenings).toBe(1);
    expect(wearLeft({ ...few, limit: 0.2501 }).furtherShortenings).toBe(2);
  });

  test.each([
    [0.005, 'shorten'],
    [0.0165, 'shorten-and-order'],
    [0.0199, 'replace-limit-first'],
    [0.02, 'replace-limit-passed'],
    [0.03, 'replace-limit-passed'],
  ] as const)('at an elongation of %d says: %s', (elongation, verdict) => {
    const left = wearLeft({ ...CHAIN, elongation });
    expect(left.verdict).toBe(verdict);
    expect(saysShorten(left.verdict)).toBe(verdict.startsWith('shorten'));
    expect(left.shareOfLimit).toBeCloseTo(elongation / 0.02, 12);
  });

  it('is less, the more the chain is worn and the longer the piece', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.03, noNaN: true }), fc.integer({ min: 1, max: 60 }), (elongation, removedPitches) => {
        const here = wearLeft({ ...CHAIN, elongation, removedPitches }).furtherShortenings;
        expect(wearLeft({ ...CHAIN, elongation: elongation + 0.002, removedPitches }).furtherShortenings).toBeLessThanOrEqual(here);
        expect(wearLeft({ ...CHAIN, elongation, removedPitches: removedPitches + 1 }).furtherShortenings).toBeLessThanOrEqual(here);
      }),
    );
  });

  it('ends with the chain: half of it and more cannot be taken out twice', () => {
    expect(wearLeft({ ...CHAIN, pitches: 10, removedPitches: 6, elongation: 0 }).furtherShortenings).toBe(0);
  });
});
