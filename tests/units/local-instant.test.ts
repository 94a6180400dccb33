import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { instantOfLocal } from '../../agent/units/local-instant.js';
import { localTime } from '../../agent/units/local-time.js';

const iso = (date: string, at: string, timezone: string): string => new Date(instantOfLocal(date, at, timezone)).toISOString();

describe('an hour on the wall as an instant', () => {
  it('follows summer time', () => {
    expect(iso('2026-01-05', '07:00', 'Europe/Oslo')).toBe('2026-01-05T06:00:00.000Z');
    expect(iso('2026-07-06', '07:00', 'Europe/Oslo')).toBe('2026-07-06T05:00:00.000Z');
  });

  it('is the first of two where the clock shows it twice', () => {
    expect(iso('2026-10-25', '02:30', 'Europe/Oslo')).toBe('2026-10-25T00:30:00.000Z');
  });

  it('is the leap where the clock never shows it', () => {
    expect(iso('2026-03-29', '02:30', 'Europe/Oslo')).toBe('2026-03-29T01:00:00.000Z');
    // Samoa crossed the date line: there was no 30 December 2011.
    expect(iso('2011-12-30', '12:00', 'Pacific/Apia')).toBe('2011-12-30T10:00:00.000Z');
  });

  it('is none on a day that the calendar has not', () => {
    expect(instantOfLocal('2026-02-30', '07:00', 'UTC')).toBeNaN();
    expect(instantOfLocal('2026-13-01', '07:00', 'UTC')).toBeNaN();
  });

  it('shows that hour again, or the next one that there is', () => {
    const zones = fc.constantFrom('Europe/Oslo', 'America/New_York', 'Australia/Lord_Howe', 'Asia/Kathmandu', 'America/Sao_Paulo');
    fc.assert(
      fc.property(zones, fc.integer({ min: 0, max: 12_000 }), fc.integer({ min: 0, max: 1439 }), (timezone, day, minute) => {
        const date = new Date(day * 86_400_000 + 946_684_800_000).toISOString().slice(0, 10);
        const at = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
        const ms = instantOfLocal(date, at, timezone);
        const shown = localTime(ms, timezone);
        const before = localTime(ms - 60_000, timezone);
        expect(`${shown.date} ${shown.minutes}` >= `${date} ${at}`).toBe(true);
        expect(`${before.date} ${before.minutes}` < `${date} ${at}`).toBe(true);
      }),
    );
  });
});
