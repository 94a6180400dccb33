import { describe, expect, it, test } from 'vitest';
import { ForeignTimes } from '../../../agent/recording/foreign/foreign-time.js';
import { formatTime } from '../../../agent/units/time.js';

const read = (format: string, zone: string | undefined, text: string, afterMs = -Infinity): string => {
  const time = new ForeignTimes(format, zone).read(text, afterMs);
  return time.ok ? `${formatTime(time.timeMs)}${time.ambiguous ? ' twice' : ''}` : time.why;
};

describe('times of a foreign file', () => {
  test.each([
    ['iso', undefined, '2026-03-02T06:00:00+01:00', '2026-03-02T05:00:00Z'],
    ['iso', 'Europe/Oslo', '2026-03-02 06:00', '2026-03-02T05:00:00Z'],
    ['iso', 'Europe/Oslo', '2026-07-02T06:00:01.5', '2026-07-02T04:00:01.500Z'],
    ['iso', undefined, '2026-03-02 06:00', 'unreadable'],
    ['DD.MM.YYYY HH:mm:ss', 'Europe/Oslo', '02.03.2026 06:00:09', '2026-03-02T05:00:09Z'],
    ['M/D/YYYY h:mm:ss A', 'America/Chicago', '3/2/2026 1:05:00 PM', '2026-03-02T19:05:00Z'],
    ['M/D/YYYY h:mm:ss A', 'America/Chicago', '3/2/2026 12:05:00 AM', '2026-03-02T06:05:00Z'],
    ['DD.MM.YY HH:mm', 'Asia/Kathmandu', '02.03.26 00:00', '2026-03-01T18:15:00Z'],
    ['epoch-s', undefined, '1772431200.25', '2026-03-02T06:00:00.250Z'],
    ['epoch-ms', undefined, '1772431200250', '2026-03-02T06:00:00.250Z'],
    ['epoch-ms', undefined, '', 'unreadable'],
    ['DD.MM.YYYY HH:mm:ss', 'Europe/Oslo', '30.02.2026 06:00:00', 'unreadable'],
    ['DD.MM.YYYY HH:mm:ss', 'Europe/Oslo', '02.13.2026 06:00:00', 'unreadable'],
  ])('%s in %s: %s is %s', (format, zone, text, expected) => {
    expect(read(format, zone, text)).toBe(expected);
  });
});

describe('the clock of a zone', () => {
  it('skips an hour in spring: a time in it is none', () => {
    expect(read('iso', 'Europe/Oslo', '2026-03-29 02:30:00')).toBe('skipped');
    expect(read('iso', 'Europe/Oslo', '2026-03-29 03:00:00')).toBe('2026-03-29T01:00:00Z');
  });

  it('has an hour twice in autumn: the first is meant until times go back', () => {
    const first = Date.parse('2026-10-25T00:30:00Z');
    expect(read('iso', 'Europe/Oslo', '2026-10-25 02:30:00')).toBe('2026-10-25T00:30:00Z twice');
    expect(read('iso', 'Europe/Oslo', '2026-10-25 02:30:00', first + 1_800_000)).toBe('2026-10-25T01:30:00Z twice');
    // The next signal's rows begin anew: that is no clock put back.
    expect(read('iso', 'Europe/Oslo', '2026-10-25 02:30:00', first + 10 * 3600_000)).toBe('2026-10-25T00:30:00Z twice');
  });
});
