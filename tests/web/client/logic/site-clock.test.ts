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

  it('that the clock has twice is the second where that is past already', () => {
    const first = Date.parse('2026-10-25T00:30:00Z');
    const second = Date.parse('2026-10-25T01:30:00Z');
    expect(fromField('2026-10-25T02:30', OSLO, second - 1)).toBe(first);
    expect(fromField('2026-10-25T02:30', OSLO, second + 20_000)).toBe(second);
    // Lord Howe Island puts its clocks back by half an hour: at 02:00 on 5 April.
    expect(fromField('2026-04-05T01:45', 'Australia/Lord_Howe', Date.parse('2026-04-05T00:00:00Z'))).toBe(
      Date.parse('2026-04-04T15:15:00Z'),
    );
    // An hour later the clock shows another time on every other day.
    expect(fromField('2026-10-26T02:30', OSLO, Date.parse('2026-10-27T00:00:00Z'))).toBe(Date.parse('2026-10-26T01:30:00Z'));
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
