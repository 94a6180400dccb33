import { describe, expect, it } from 'vitest';
import { NO_FORECAST_SENTENCES } from '../../../../agent/flow/trend/no-forecast.js';
import { briefWhy, rowLines } from '../../../../web/client/logic/row-lines.js';

describe('the three lines of a row', () => {
  it.each([
    ['nothing', 0, 0, 0, true],
    ['one alarm', 1, 0, 1, true],
    ['an alarm and a state', 1, 1, 1, true],
    ['three alarms', 3, 0, 3, false],
    ['two alarms and three states', 2, 3, 2, false],
    ['three alarms and a state: two, and how many more beside it', 3, 1, 2, false],
    ['five alarms', 5, 0, 2, false],
    ['five alarms and two states', 5, 2, 2, false],
    ['five alarms and three states, which take two lines with how many more', 5, 3, 1, false],
  ])('are shared for %s', (_what, alarms, states, named, roomy) => {
    expect(rowLines(alarms, states, 'row')).toEqual({ alarms: named, roomy });
  });
});

describe('a row with more room', () => {
  it('names more alarms', () => {
    expect(rowLines(5, 0, 'tall').alarms).toBe(5);
    expect(rowLines(5, 2, 'tall').alarms).toBe(4);
    expect(rowLines(5, 2, 'large').alarms).toBe(3);
  });
});

describe('why there is no date, in brief', () => {
  it('is the reason without what follows from it', () => {
    expect(briefWhy('The chain is new and still running in, which it does faster: a forecast begins later.')).toBe(
      'The chain is new and still running in',
    );
    expect(briefWhy('The settled position is not known.')).toBe('The settled position is not known.');
  });

  it.each(Object.entries(NO_FORECAST_SENTENCES))('is short enough for a row where it is %s', (_reason, sentence) => {
    expect(sentence.startsWith(briefWhy(sentence))).toBe(true);
    expect(briefWhy(sentence).length).toBeLessThan(80);
  });
});
