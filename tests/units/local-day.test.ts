import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { dateOfDayNumber, dayNumberOf, LocalDays } from '../../agent/units/local-day.js';
import { parseTime } from '../../agent/units/time.js';

const HOUR_MS = 3600_000;
const at = (text: string): number => parseTime(text) ?? NaN;
const hours = (zone: string, noon: string): number => {
  const { startMs, endMs } = new LocalDays(zone).of(at(noon));
  return (endMs - startMs) / HOUR_MS;
};

describe('a day at the site', () => {
  it('begins at midnight of the wall clock, not of UTC', () => {
    const days = new LocalDays('Europe/Oslo');
    expect(days.of(at('2026-01-05T22:59:59Z')).date).toBe('2026-01-05');
    expect(days.of(at('2026-01-05T23:00:00Z'))).toEqual({
      date: '2026-01-06',
      startMs: at('2026-01-05T23:00:00Z'),
      endMs: at('2026-01-06T23:00:00Z'),
    });
  });

  // [P] Directive 2000/84/EC: summer time begins and ends at 01:00 UTC on the last Sunday of March and of October.
  test.each([
    ['Europe/Oslo', '2026-03-28T12:00Z', 24],
    ['Europe/Oslo', '2026-03-29T12:00Z', 23],
    ['Europe/Oslo', '2026-03-30T12:00Z', 24],
    ['Europe/Oslo', '2026-10-25T12:00Z', 25],
    ['Australia/Lord_Howe', '2026-04-05T02:00Z', 24.5],
    ['UTC', '2026-03-29T12:00Z', 24],
  ])('in %s around %s has %d hours', (zone, noon, long) => {
    expect(hours(zone, noon)).toBe(long);
  });

  it('may begin at one in the morning, where clocks go forward at midnight', () => {
    const day = new LocalDays('Africa/Cairo').of(at('2026-04-24T12:00:00+03:00'));
    expect(day).toEqual({ date: '2026-04-24', startMs: at('2026-04-24T01:00:00+03:00'), endMs: at('2026-04-25T00:00:00+03:00') });
  });

  it('holds the moment asked for, and the next one begins where it ends', () => {
    const zone = fc.constantFrom('Europe/Oslo', 'America/New_York', 'Asia/Kolkata', 'Pacific/Auckland', 'America/Santiago', 'UTC');
    const moment = fc.integer({ min: at('2015-01-01T00:00Z'), max: at('2035-01-01T00:00Z') });
    fc.assert(
      fc.property(zone, moment, moment, (timezone, one, other) => {
        const days = new LocalDays(timezone);
        for (const timeMs of [one, other, one]) {
          const day = days.of(timeMs);
          expect(day.startMs).toBeLessThanOrEqual(timeMs);
          expect(day.endMs).toBeGreaterThan(timeMs);
          expect(days.dateOf(day.startMs)).toBe(day.date);
          expect(days.dateOf(day.startMs - 1000)).not.toBe(day.date);
          expect(days.of(day.endMs).startMs).toBe(day.endMs);
          expect(dayNumberOf(days.of(day.endMs).date)).toBe(dayNumberOf(day.date) + 1);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('of a zone that nobody knows is refused', () => {
    expect(() => new LocalDays('Europe/Nowhere')).toThrow(RangeError);
  });
});

describe('a day number', () => {
  it('counts days from 1970-01-01, free of any zone', () => {
    expect(dayNumberOf('1970-01-01')).toBe(0);
    expect(dayNumberOf('2026-03-29') - dayNumberOf('2026-03-28')).toBe(1);
    expect(dateOfDayNumber(dayNumberOf('2028-02-29') + 1)).toBe('2028-03-01');
  });

  it('and its date say the same, a fraction lying in its day', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60_000 }), fc.double({ min: 0, max: 0.999, noNaN: true }), (day, fraction) => {
        expect(dayNumberOf(dateOfDayNumber(day + fraction))).toBe(day);
      }),
    );
  });
});
