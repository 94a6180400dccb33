import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { nearestQuarter, quartersToRelease, turnsText, turnsWords } from '../../agent/plan/turns.js';

describe('turns of an adjusting nut', () => {
  test.each([
    [0, '0', 'leave as it is'],
    [0.12, '0', 'leave as it is'],
    [0.25, '¼', 'tighten ¼ turn'],
    [-0.5, '½', 'back off ½ turn'],
    [1, '1', 'tighten 1 turn'],
    [2.3, '2¼', 'tighten 2¼ turns'],
    [-12.88, '13', 'back off 13 turns'],
    [-3.75, '3¾', 'back off 3¾ turns'],
  ])('%d is told as %s, and as: %s', (turns, text, words) => {
    expect(turnsText(nearestQuarter(turns))).toBe(text);
    expect(turnsWords(turns)).toBe(words);
  });

  it('are counted in quarters, never more than an eighth off, and alike in both directions', () => {
    fc.assert(
      fc.property(fc.double({ min: -200, max: 200, noNaN: true }), (turns) => {
        const quarters = nearestQuarter(turns);
        expect(Number.isInteger(quarters * 4)).toBe(true);
        expect(Math.abs(quarters - turns)).toBeLessThanOrEqual(0.125);
        expect(nearestQuarter(-turns) + quarters).toBe(0);
      }),
    );
  });

  it('that set a spring free are never too few', () => {
    fc.assert(
      fc.property(fc.double({ min: -50, max: 200, noNaN: true }), (turns) => {
        const quarters = quartersToRelease(turns);
        expect(quarters).toBeGreaterThanOrEqual(Math.max(0, turns) - 1e-9);
        expect(quarters).toBeLessThan(Math.max(0, turns) + 0.25 + 1e-9);
      }),
    );
    expect(quartersToRelease(2)).toBe(2);
    expect(quartersToRelease(-1)).toBe(0);
  });
});
