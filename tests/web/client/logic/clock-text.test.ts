import { describe, expect, it } from 'vitest';
import { CLOCK_FORMS, clockText, readClockText } from '../../../../web/client/logic/clock-text.js';

describe('a day or a time that is typed', () => {
  it.each([
    ['2026-03-02', 'day', '2026-03-02'],
    ['2026-3-2', 'day', '2026-03-02'],
    ['2028-02-29', 'day', '2028-02-29'],
    ['2026-03-02 09:41', 'moment', '2026-03-02T09:41'],
    ['2026-03-02T09:41', 'moment', '2026-03-02T09:41'],
    [' 2026-03-02  9:41 ', 'moment', '2026-03-02T09:41'],
    ['2026-03-02 21:05', 'moment', '2026-03-02T21:05'],
    ['', 'moment', ''],
  ] as const)('%s is taken', (text, kind, held) => {
    expect(readClockText(text, kind)).toBe(held);
  });

  it.each([
    ['02/03/2026', 'day'],
    ['2026-02-29', 'day'],
    ['2026-13-01', 'day'],
    ['2026-03', 'day'],
    ['2026-03-02', 'moment'],
    ['2026-03-02 24:00', 'moment'],
    ['2026-03-02 09:4', 'moment'],
    ['2026-03-02 09:60', 'moment'],
    ['2026-03-02 9:41 PM', 'moment'],
  ] as const)('%s is not', (text, kind) => {
    expect(readClockText(text, kind)).toBeUndefined();
  });

  it('is read as it is shown', () => {
    expect(clockText('2026-03-02T09:41')).toBe(CLOCK_FORMS.moment);
    expect(readClockText(CLOCK_FORMS.moment, 'moment')).toBe('2026-03-02T09:41');
    expect(readClockText(CLOCK_FORMS.day, 'day')).toBe('2026-03-02');
  });
});
