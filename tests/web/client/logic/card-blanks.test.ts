import { describe, expect, it } from 'vitest';
import type { BlankKey } from '../../../../agent/plan/job-card.js';
import { BLANK_FORMS } from '../../../../agent/plan/card-blanks.js';
import { blankLook, blankText, choiceWords, readBlank } from '../../../../web/client/logic/card-blanks.js';

const METRIC = { units: 'metric', timezone: 'Europe/Oslo' } as const;
const IMPERIAL = { units: 'imperial', timezone: 'Europe/Oslo' } as const;

describe('a blank', () => {
  it.each<[BlankKey, string, string | number | null]>([
    ['locked-by', ' Kari N. ', 'Kari N.'],
    ['locked-at', '2026-07-02T06:30', '2026-07-02T04:30:00Z'],
    ['found-position-left', '112.5', 112.5],
    ['done-turns-left', '−1.25', -1.25],
    ['done-pitches', '4', 4],
    ['done-restraint-nuts', 'out', 'out'],
    ['done-note', '  ', null],
  ])('%s reads %s', (key, text, value) => {
    expect(readBlank(key, text, METRIC)).toEqual({ value });
  });

  it.each<[BlankKey, string]>([
    ['found-spring-left', '-3'],
    ['done-pitches', '2.5'],
    ['done-turns-right', 'one'],
    ['done-at', 'yesterday'],
  ])('%s does not take %s', (key, text) => {
    expect(readBlank(key, text, METRIC)).toHaveProperty('fault');
  });

  it('is read back as it was typed, in the units of the sheet', () => {
    for (const context of [METRIC, IMPERIAL]) {
      for (const [key, text] of [
        ['found-position-left', '8.125'],
        ['done-at', '2026-03-02T09:41'],
        ['done-pitches', '4'],
        ['done-by', 'ola'],
      ] as const) {
        const read = readBlank(key, text, context);
        if (!('value' in read) || read.value === null) throw new Error('it can be read');
        expect(blankText(key, read.value, context)).toBe(text);
      }
    }
  });

  it('takes several lines where a name would be too short, and says choices in words', () => {
    expect(blankLook(BLANK_FORMS['done-note'])).toBe('lines');
    expect(blankLook(BLANK_FORMS['locked-by'])).toBe('line');
    expect(choiceWords('done-restraint-nuts', 'in')).toBe('run in: the carriage is held');
    expect(choiceWords('done-lubricated', 'yes')).toBe('yes');
  });
});
