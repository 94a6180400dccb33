import { describe, expect, it } from 'vitest';
import { ageWords, daysRange, daysUntil, daysWords, oldWords } from '../../../../web/client/logic/age.js';

const [S, MIN, H, D] = [1_000, 60_000, 3_600_000, 86_400_000];

describe('the age of a reading', () => {
  it.each([
    [0, '0 s'],
    [-5 * S, '0 s'],
    [1_999, '1 s'],
    [119 * S, '119 s'],
    [2 * MIN, '2 min'],
    [119 * MIN, '119 min'],
    [2 * H, '2 h'],
    [3 * H + 20 * MIN, '3 h 20 min'],
    [47 * H, '47 h'],
    [2 * D, '2 days'],
    [400 * D, '400 days'],
  ])('%d ms is %s', (ageMs, words) => {
    expect(ageWords(ageMs)).toBe(words);
  });
});

describe('how old a reading is', () => {
  it.each([
    [4 * S, '4 s old'],
    [-90 * S, '0 s old'],
    [-3 * H, '3 h ahead: a clock is wrong'],
  ])('is said with what cannot be so: %s ms', (ageMs, words) => {
    expect(oldWords(ageMs)).toBe(words);
  });
});

describe('days to a date', () => {
  it('are whole, over the change of the clocks too', () => {
    expect(daysUntil('2026-03-30', '2026-03-28')).toBe(2);
    expect(daysUntil('2026-03-28', '2026-03-28')).toBe(0);
    expect(daysUntil('2026-03-27', '2026-03-28')).toBe(-1);
  });

  it('are one day or several', () => {
    expect([0, 1, 2].map(daysWords)).toEqual(['0 days', '1 day', '2 days']);
  });

  it('are years and months beyond a year', () => {
    expect([365, 366, 400, 731, 1575].map(daysWords)).toEqual(['365 days', '1 y', '1 y 1 mo', '2 y', '4 y 3 mo']);
    expect(daysRange(40, 75)).toBe('40 to 75 days');
    expect(daysRange(300, 1575)).toBe('300 days to 4 y 3 mo');
    expect(daysRange(1200, undefined)).toBe('from 3 y 3 mo');
  });
});
