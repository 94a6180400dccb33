import { describe, expect, it } from 'vitest';
import { fromField, toField } from '../../../../web/client/logic/site-clock.js';

const OSLO = 'Europe/Oslo';

describe('a time typed on the clock of the site', () => {
  it.each([
    ['2026-01-05T07:30', '2026-01-05T06:30:00Z'],
    ['2026-07-05T07:30', '2026-07-05T05:30:00Z'],
    ['2026-07-05T07:30:20', '2026-07-05T05:30:20Z'],
    // Daylight saving begins on 29 March at 02:00 and ends on 25 October at 03:00.
    ['2026-03-29T01:59', '2026-03-29T00:59:00Z'],
    ['2026-03-29T03:00', '2026-03-29T01:00:00Z'],
    ['2026-10-25T03:00', '2026-10-25T02:00:00Z'],
  ])('%s is %s', (typed, instant) => {
    expect(fromField(typed, OSLO)).toBe(Date.parse(instant));
    expect(toField(Date.parse(instant), OSLO)).toBe(typed.slice(0, 16));
  });

  it('that the clock has twice is the first of the two', () => {
    expect(fromField('2026-10-25T02:30', OSLO)).toBe(Date.parse('2026-10-25T00:30:00Z'));
  });

  it('that the clock skips is none', () => {
    expect(fromField('2026-03-29T02:30', OSLO)).toBeUndefined();
  });

  it.each(['', 'yesterday', '2026-02-30T10:00', '2026-01-05', '2026-01-05T25:00'])('is not %j', (typed) => {
    expect(fromField(typed, OSLO)).toBeUndefined();
  });

  it('holds west of Greenwich too', () => {
    expect(fromField('2026-01-05T23:30', 'America/Chicago')).toBe(Date.parse('2026-01-06T05:30:00Z'));
  });
});
