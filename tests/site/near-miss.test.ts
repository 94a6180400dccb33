import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { editDistance, nearMiss } from '../../agent/site/near-miss.js';

const KEYS = ['pitch_mm', 'pitches', 'repeat_pitches', 'wear_limit_pct', 'expansion_per_c'];
const UNITS = ['mm', 'in', 'cm', 'm', 'mA', 'V', 'percent', 'counts', 'C', 'F', 'm/min', 'ft/min'];

describe('what was probably meant', () => {
  test.each([
    ['pich_mm', 'pitch_mm'],
    ['pitchMm', 'pitch_mm'],
    ['pitch-mm', 'pitch_mm'],
    ['pitch_in', 'pitch_mm'],
    ['pitch', 'pitch_mm'],
    ['wear_limit', 'wear_limit_pct'],
    ['repaet_pitches', 'repeat_pitches'],
    ['expansion_per_f', 'expansion_per_c'],
  ])('by the key %s is %s', (word, meant) => {
    expect(nearMiss(word, KEYS)).toBe(meant);
  });

  test.each([
    ['inches', 'in'],
    ['"', 'in'],
    ['millimetres', 'mm'],
    ['MM', 'mm'],
    ['ma', 'mA'],
    ['%', 'percent'],
    ['°C', 'C'],
    ['deg C', 'C'],
    ['fahrenheit', 'F'],
    ['m/mn', 'm/min'],
    ['feet per minute', 'ft/min'],
  ])('by the unit %s is %s', (word, meant) => {
    expect(nearMiss(word, UNITS)).toBe(meant);
  });

  test.each(['furlong', 'kg', 'x', ''])('by the unit %j nobody can tell', (word) => {
    expect(nearMiss(word, UNITS)).toBeUndefined();
  });

  it('is not told where two names stand equally well for the word without its unit', () => {
    expect(nearMiss('load', ['load_n', 'load_kn'])).toBeUndefined();
  });
});

describe('the distance between two words', () => {
  test.each([
    ['kitten', 'sitting', 3], // the textbook pair of Levenshtein's distance
    ['ca', 'abc', 3], // the textbook pair that tells the restricted distance from the full one of Damerau (2)
    ['pitch', 'pithc', 1],
    ['', 'stroke', 6],
  ])('%s and %s is %i', (a, b, distance) => {
    expect(editDistance(a, b)).toBe(distance);
  });

  it('is the same both ways, nothing for equal words, and never more than the longer word', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 12 }), fc.string({ maxLength: 12 }), (a, b) => {
        expect(editDistance(a, b)).toBe(editDistance(b, a));
        expect(editDistance(a, a)).toBe(0);
        expect(editDistance(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length));
      }),
    );
  });
});
