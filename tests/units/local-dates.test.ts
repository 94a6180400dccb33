import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LocalDates } from '../../agent/units/local-dates.js';
import { LocalDays } from '../../agent/units/local-day.js';

const HOUR_MS = 3_600_000;

describe('the dates of many times', () => {
  it('are those that the calendar of the zone gives, in every zone there is', () => {
    const times = fc.integer({ min: 0, max: Date.UTC(2040, 0, 1) });
    fc.assert(
      fc.property(fc.constantFrom(...Intl.supportedValuesOf('timeZone')), fc.array(times, { minLength: 1, maxLength: 20 }), (zone, all) => {
        const [dates, days] = [new LocalDates(zone), new LocalDays(zone)];
        for (const timeMs of all) expect(dates.of(timeMs)).toBe(days.dateOf(timeMs));
      }),
    );
  });

  it.each(['Europe/Oslo', 'Australia/Lord_Howe', 'Africa/Casablanca', 'America/St_Johns', 'Pacific/Apia'])(
    '(%s) are right at every quarter of an hour of years in which its clocks were moved',
    (zone) => {
      const [dates, days] = [new LocalDates(zone), new LocalDays(zone)];
      const wrong: string[] = [];
      for (let timeMs = Date.UTC(2011, 9, 1); timeMs < Date.UTC(2012, 5, 1); timeMs += HOUR_MS / 4) {
        if (dates.of(timeMs) !== days.dateOf(timeMs)) wrong.push(new Date(timeMs).toISOString());
      }
      expect(wrong).toEqual([]);
    },
  );

  it('are not those of a zone that does not exist', () => {
    expect(() => new LocalDates('Europe/Nowhere')).toThrow(RangeError);
  });
});
