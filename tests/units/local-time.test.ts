import { describe, expect, it } from 'vitest';
import { localTime } from '../../agent/units/local-time.js';

describe('the clock of the site', () => {
  it('is summer time in summer and winter time in winter', () => {
    expect(localTime(Date.parse('2026-07-01T12:00:05Z'), 'Europe/Oslo')).toEqual({
      date: '2026-07-01',
      minutes: '14:00',
      seconds: '14:00:05',
    });
    expect(localTime(Date.parse('2026-01-01T12:00:05Z'), 'Europe/Oslo').minutes).toBe('13:00');
  });

  it('begins the day at 00, not at 24', () => {
    expect(localTime(Date.parse('2026-01-04T23:00:00Z'), 'Europe/Oslo')).toMatchObject({ date: '2026-01-05', minutes: '00:00' });
  });

  it('is UTC where a system does not know the zone, rather than nothing', () => {
    expect(localTime(0, 'Atlantis/Capital')).toEqual({ date: '1970-01-01', minutes: '00:00', seconds: '00:00:00' });
  });
});
