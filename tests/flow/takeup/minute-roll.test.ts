import { describe, expect, it } from 'vitest';
import type { Output } from '../../../agent/flow/output.js';
import { MINUTE_MS, MinuteRoll } from '../../../agent/flow/takeup/minute-roll.js';
import { testSite } from '../way/test-site.js';
import { readPosition, trackOf } from './track.js';

/** Both sides at 41 mm: springs of 201 mm, 119 mm compressed, 18 N/mm; half of both in each strand. */
const TRACK = trackOf(testSite().conveyors[0]!.takeups[0]!);
readPosition(TRACK.left, 41);
readPosition(TRACK.right, 41);

function roll(samples: readonly (readonly [timeMs: number, mm: number, springMm: number])[], cut?: number): Output[] {
  const out: Output[] = [];
  let minute = new MinuteRoll('line', TRACK, MINUTE_MS);
  samples.forEach((sample, i) => {
    if (i === cut)
      minute = new MinuteRoll('line', TRACK, MINUTE_MS, JSON.parse(JSON.stringify(minute.save())) as ReturnType<MinuteRoll['save']>);
    // Both springs stand as the sample says.
    for (const { cells } of [TRACK.left, TRACK.right]) cells[2] = sample[2];
    minute.push(...sample, out);
  });
  minute.close(out);
  return out;
}

describe('a minute of a take-up', () => {
  it('keeps the extremes of its readings, so that a short surge stays to be seen', () => {
    const quiet = Array.from({ length: 60 }, (_, i) => [i * 1000, 41, 201] as const);
    const surge = quiet.map(([timeMs, mm, spring], i) =>
      i === 30 || i === 31 ? ([timeMs, 20, 180] as const) : ([timeMs, mm, spring] as const),
    );
    expect(roll(surge)).toEqual([
      {
        kind: 'minute',
        conveyor: 'line',
        takeup: 'tu1',
        timeMs: 0,
        count: 60,
        minMm: 20,
        maxMm: 41,
        meanMm: 41 - 42 / 60,
        springMinMm: 180,
        tensionN: 18 * (119 + 42 / 60),
        tensionMinN: 18 * 119,
        tensionMaxN: 18 * 140,
      },
    ]);
  });

  it('is given out when the next begins, and at the end as far as it went', () => {
    expect(
      roll([
        [0, 41, 251],
        [30_000, 43, 253],
        [60_000, 45, 255],
        [200_000, 47, NaN],
      ]),
    ).toMatchObject([
      { timeMs: 0, count: 2, meanMm: 42 },
      { timeMs: 60_000, count: 1, meanMm: 45 },
      { timeMs: 180_000, count: 1, springMinMm: NaN, tensionN: NaN, tensionMaxN: NaN },
    ]);
  });

  it('with nothing known in it is not given out', () => {
    expect(
      roll([
        [0, NaN, NaN],
        [1000, NaN, 250],
      ]),
    ).toEqual([]);
  });

  it('goes on from what was saved through JSON as if nothing had been', () => {
    const samples = Array.from({ length: 40 }, (_, i) => [i * 7000, 41 + Math.sin(i), 251 + Math.sin(i)] as const);
    for (const cut of [0, 1, 9, 20]) expect(roll(samples, cut)).toEqual(roll(samples));
  });
});
