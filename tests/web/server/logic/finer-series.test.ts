import { describe, expect, it } from 'vitest';
import type { PositionSeries } from '../../../../agent/store/series.js';
import { finerWidthMs, isCoarse, whyNotFiner } from '../../../../web/server/logic/finer-series.js';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

function series(
  source: PositionSeries['source'],
  widthMs: number,
  points: readonly (readonly [timeMs: number, mm: number])[],
): PositionSeries {
  const nothing = points.map(() => null);
  const mm = points.map(([, value]) => value);
  return {
    ...{ source, widthMs, timeMs: points.map(([timeMs]) => timeMs), count: points.map(() => 1), minMm: mm, maxMm: mm, meanMm: mm },
    ...{ settledMm: nothing, springMinMm: nothing, tensionN: nothing, tensionMinN: nothing, tensionMaxN: nothing },
  };
}

describe('how wide a point is', () => {
  it.each([
    ['two minutes on a wide screen, read ten times a second', 2 * MINUTE, 1500, 0.1, 100],
    ['two minutes on a wide screen, read once a second', 2 * MINUTE, 1500, 1, 1000],
    ['an hour on a wide screen', HOUR, 1500, 1, 5000],
    ['an hour of a sensor read every half minute', HOUR, 1500, 30, 30_000],
    ['an hour of a sensor read every five minutes', HOUR, 1500, 300, undefined],
    ['a shift on a phone', 8 * HOUR, 280, 1, undefined],
    ['eight hours on a wide screen', 8 * HOUR, 1500, 1, 20_000],
    ['a day', 24 * HOUR, 1500, 1, undefined],
  ])('of %s', (_, lengthMs, px, periodS, widthMs) => {
    expect(finerWidthMs(0, lengthMs, px, periodS)).toBe(widthMs);
  });

  it('is told to be coarse where minutes were asked for and only hours are left', () => {
    expect(isCoarse(HOUR, 0, 2 * HOUR, 1000)).toBe(true);
    expect(isCoarse(MINUTE, 0, 2 * HOUR, 1000)).toBe(false);
    expect(isCoarse(HOUR, 0, 1000 * HOUR, 1001)).toBe(false);
  });
});

describe('what is drawn from readings', () => {
  const kept = series('minutes', MINUTE, [
    [0, 40],
    [MINUTE, 41],
    [2 * MINUTE, 42],
  ]);
  const seconds = (...mm: readonly number[]) =>
    series(
      'readings',
      1000,
      mm.flatMap((value, minute) => [0, 20_000, 40_000].map((ms) => [minute * MINUTE + ms, value] as const)),
    );

  it('stands for the minutes that it agrees with', () => {
    expect(whyNotFiner(kept, seconds(40, 41, 42), 0, 3 * MINUTE)).toBeUndefined();
  });

  it('does not where a minute that was kept has no readings any more', () => {
    expect(whyNotFiner(kept, seconds(40, 41), 0, 3 * MINUTE)).toBe('readings-gone');
    // The last minute reaches beyond what was asked for.
    expect(whyNotFiner(kept, seconds(40, 41), 0, 2.5 * MINUTE)).toBeUndefined();
  });

  it('does not where the sensor is read otherwise by now', () => {
    expect(whyNotFiner(kept, seconds(50, 51, 52), 0, 3 * MINUTE)).toBe('other-settings');
  });
});
