import { describe, expect, it } from 'vitest';
import { countdownWords, respondWords, SHELVE_CHOICES, suppressedWords } from '../../../../web/client/logic/aside-words.js';

describe('words for what is set aside', () => {
  it.each([
    [-1, 'now'],
    [1, 'in 1 s'],
    [119_000, 'in 119 s'],
    [120_000, 'in 2 min'],
    [3_540_001, 'in 59 min'],
    [7_203_000, 'in 2 h 0 min'],
    [5_400_000, 'in 1 h 30 min'],
  ])('%i ms to go is %s', (leftMs, words) => {
    expect(countdownWords(leftMs)).toBe(words);
  });

  it.each([
    [5, '5 min'],
    [120, '2 h'],
    [24 * 60, '24 h'],
    [7 * 24 * 60, '7 days'],
  ])('%i minutes to respond are %s', (minutes, words) => {
    expect(respondWords(minutes)).toBe(words);
  });

  it('say by what an alarm is suppressed', () => {
    expect([suppressedWords('service'), suppressedWords('standing'), suppressedWords('spring-solid'), suppressedWords(undefined)]).toEqual([
      'while a service is open on the take-up',
      'while the conveyor stands',
      'while “Spring solid” stands, which says more',
      'by design',
    ]);
  });

  it('offer no shelving for longer than a day', () => {
    expect(Math.max(...SHELVE_CHOICES.map(({ minutes }) => minutes))).toBe(24 * 60);
  });
});
