import { describe, expect, it } from 'vitest';
import { timeTicks } from '../../../../web/client/logic/time-ticks.js';

const labels = (from: string, to: string, most: number) =>
  timeTicks({ fromMs: Date.parse(from), toMs: Date.parse(to) }, most, 'Europe/Oslo').map(({ label }) => label);

describe('the marks of a time axis', () => {
  it("stand at round times of the site's clock", () => {
    expect(labels('2026-03-02T08:07:00Z', '2026-03-02T09:03:00Z', 6)).toEqual(['09:10', '09:20', '09:30', '09:40', '09:50', '10:00']);
  });

  it('name the day where one begins', () => {
    expect(labels('2026-03-02T17:00:00Z', '2026-03-03T07:00:00Z', 4)).toEqual(['18:00', '03-03', '06:00']);
  });

  it('are apart by an hour less on the night that has one less', () => {
    const ticks = timeTicks({ fromMs: Date.parse('2026-03-28T23:00:00Z'), toMs: Date.parse('2026-03-29T22:00:00Z') }, 4, 'Europe/Oslo');
    expect(ticks.map(({ label }) => label)).toEqual(['03-29', '06:00', '12:00', '18:00', '03-30']);
    expect(((ticks[1]?.timeMs ?? 0) - (ticks[0]?.timeMs ?? 0)) / 3_600_000).toBe(5);
  });

  it('are Mondays, months or years where more is shown', () => {
    expect(labels('2026-03-01T00:00:00Z', '2026-04-01T00:00:00Z', 6)).toEqual(['03-02', '03-09', '03-16', '03-23', '03-30']);
    expect(labels('2026-01-10T00:00:00Z', '2026-12-01T00:00:00Z', 5)).toEqual(['2026-04', '2026-07', '2026-10']);
    expect(labels('2019-06-01T00:00:00Z', '2026-12-01T00:00:00Z', 5)).toEqual(['2020', '2022', '2024', '2026']);
  });
});
