import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatTime, parseTime, parseTimeBytes, wholeTime } from '../../agent/units/time.js';

const SIX = Date.UTC(2026, 0, 5, 6);

describe('a time with its offset', () => {
  it.each([
    ['2026-01-05T06:00:00Z', SIX],
    ['2026-01-05t06:00:00z', SIX],
    ['2026-01-05 06:00:00Z', SIX],
    ['2026-01-05T06:00Z', SIX],
    ['2026-01-05T07:00:00+01:00', SIX],
    ['2026-01-05T07:00:00+0100', SIX],
    ['2026-01-05T07:00:00+01', SIX],
    ['2026-01-05T00:30:00-05:30', SIX],
    ['2026-01-04T23:00:00-07:00', SIX],
    ['2026-01-05T06:00:00-00:00', SIX],
    ['2026-01-05T06:00:00.5Z', SIX + 500],
    ['2026-01-05T06:00:00,25Z', SIX + 250],
    ['2024-02-29T00:00:00Z', Date.UTC(2024, 1, 29)],
    ['2000-02-29T00:00:00Z', Date.UTC(2000, 1, 29)],
    ['1969-12-31T23:59:59.999Z', -1],
    ['0000-01-01T00:00:00Z', -62_167_219_200_000],
    ['9999-12-31T23:59:59.999Z', 253_402_300_799_999],
  ])('%s is understood', (text, ms) => {
    expect(parseTime(text)).toBe(ms);
  });

  it('is rounded to the nearest millisecond, however long its fraction', () => {
    expect(parseTime('2026-01-05T06:00:00.1234567890123456789Z')).toBe(SIX + 123);
    expect(parseTime('2026-01-05T06:00:00.1235Z')).toBe(SIX + 124);
    expect(parseTime('2026-01-05T06:00:00.12349999Z')).toBe(SIX + 123);
    expect(parseTime('2026-01-05T05:59:59.9996Z')).toBe(SIX);
  });
});

describe('epoch milliseconds', () => {
  it.each([
    ['1767592800000', SIX],
    ['1767592800000.4', SIX],
    ['1767592800000.5', SIX + 1],
    ['1767592800000.49999999999999999999', SIX],
    ['0', 0],
    ['-1', -1],
    ['-0', 0],
  ])('%s is understood', (text, ms) => {
    expect(parseTime(text)).toBe(ms);
  });
});

describe('what is no time', () => {
  it.each([
    ['2026-01-05T06:00:00', 'has no offset'],
    ['2026-01-05', 'is a day, and has no offset'],
    ['2026-02-29T06:00:00Z', 'is a day that the year does not have'],
    ['1900-02-29T06:00:00Z', 'is a day that the year does not have: no leap year'],
    ['2026-04-31T06:00:00Z', 'is a day that the month does not have'],
    ['2026-13-05T06:00:00Z', 'has a thirteenth month'],
    ['2026-00-05T06:00:00Z', 'has a month before the first'],
    ['2026-01-00T06:00:00Z', 'has a day before the first'],
    ['2026-01-05T24:00:00Z', 'counts its day to the end'],
    ['2026-01-05T06:60:00Z', 'has a sixtieth minute'],
    ['2026-01-05T06:00:60Z', 'has a sixtieth second'],
    ['2026-01-05T06:00:00.Z', 'has a point and no fraction'],
    ['2026-01-05T06:00:00+24:00', 'is more than a day off'],
    ['2026-01-05T06:00:00+01:60', 'has a sixtieth minute in its offset'],
    ['2026-01-05T06:00:00+1:00', 'has half an offset'],
    ['2026-01-05T06:00:00Zulu', 'goes on behind its end'],
    ['2026-01-05T06:00:00ZZ', 'goes on behind its end'],
    ['2026-01-05X06:00:00Z', 'has no T in it'],
    ['2026/01/05T06:00:00Z', 'has slashes in it'],
    ['26-01-05T06:00:00.000Z', 'has a year of two digits'],
    ['+002026-01-05T06:00:00Z', 'has a year of six digits'],
    ['1.7675928e12', 'has an exponent'],
    ['1767592800000.', 'has a point and nothing behind it'],
    ['.5', 'has nothing before its point'],
    ['1767592800000000', 'is microseconds: as milliseconds it lies beyond the year 9999'],
    ['9999-12-31T23:59:59.9996Z', 'is rounded beyond the year 9999'],
    ['NaN', 'is no number'],
    ['', 'is empty'],
    ['٢026-01-05T06:00:00Z', 'has digits of another script'],
    [`${'0'.repeat(80)}1`, 'is longer than any time'],
  ])('%s %s', (text) => {
    expect(parseTime(text)).toBeUndefined();
  });
});

describe('a time that is written', () => {
  it('has milliseconds only where there are any', () => {
    expect(formatTime(SIX)).toBe('2026-01-05T06:00:00Z');
    expect(formatTime(SIX + 7)).toBe('2026-01-05T06:00:00.007Z');
    expect(formatTime(-1)).toBe('1969-12-31T23:59:59.999Z');
    expect(formatTime(SIX + 0.6)).toBe('2026-01-05T06:00:00.001Z');
  });

  it('is refused where it cannot be read back', () => {
    expect(() => formatTime(NaN)).toThrow(RangeError);
    expect(() => formatTime(253_402_300_800_000)).toThrow(RangeError);
  });

  const anyMs = fc.integer({ min: -62_167_219_200_000, max: 253_402_300_799_999 });

  it('is read back as it was', () => {
    fc.assert(fc.property(anyMs, (ms) => parseTime(formatTime(ms)) === ms));
  });

  it('is the same moment in every offset', () => {
    const offset = fc.record({
      sign: fc.constantFrom('+', '-'),
      hours: fc.integer({ min: 0, max: 23 }),
      minutes: fc.integer({ min: 0, max: 59 }),
    });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4_000_000_000_000 }), offset, (ms, { sign, hours, minutes }) => {
        const ahead = (hours * 60 + minutes) * 60_000 * (sign === '+' ? 1 : -1);
        const local = new Date(ms + ahead).toISOString().slice(0, -1);
        const text = `${local}${sign}${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`;
        expect(parseTime(text)).toBe(ms);
      }),
    );
  });

  it('is understood as the platform understands it, day by day', () => {
    const day = fc.integer({ min: -719_528, max: 2_932_896 });
    fc.assert(
      fc.property(day, (days) => {
        const text = new Date(days * 86_400_000).toISOString();
        expect(parseTime(text.length === 24 ? text : '0000-01-01T00:00:00Z')).toBe(
          text.length === 24 ? Date.parse(text) : -62_167_219_200_000,
        );
      }),
    );
  });
});

describe('a time among other bytes', () => {
  it('is read between its bounds only', () => {
    const bytes = new TextEncoder().encode('7,2026-01-05T06:00:00Z,8');
    expect(parseTimeBytes(bytes, 2, 22)).toBe(SIX);
    expect(parseTimeBytes(bytes, 2, 21)).toBeNaN();
    expect(parseTimeBytes(bytes, 2, 23)).toBeNaN();
    expect(parseTimeBytes(bytes, 0, 1)).toBe(7);
    expect(parseTimeBytes(bytes, 23, 24)).toBe(8);
  });
});

describe('milliseconds that came as a number', () => {
  it('are rounded, and refused beyond the years 0000 to 9999', () => {
    expect(wholeTime(SIX + 0.4)).toBe(SIX);
    expect(wholeTime(Infinity)).toBeNaN();
    expect(wholeTime(NaN)).toBeNaN();
    expect(wholeTime(1e15)).toBeNaN();
  });
});
