import { describe, expect, it, test } from 'vitest';
import { HOUR_MS, readings, run, sides, type Run } from './run.js';
import { START_MS, testSite } from './test-site.js';

// Two take-ups of the same springs at half a turn each share the chain: four pitches of 76.2 mm bring each in by 76.2 mm, or one alone by 152.4.
const SITE = testSite({ others: [{ id: 'tu2' }], conveyor: { signals: { running: { period_s: 10 } } } });
const STOP_MS = START_MS + 6 * HOUR_MS;
const RESTART_MS = STOP_MS + 2 * HOUR_MS;
const END_MS = RESTART_MS + 6 * HOUR_MS;

/** Six hours of running, a stop in which each carriage moves, and six hours more; the second is heard of later after the stop where asked for. */
function moved(firstMm: number, secondMm: number, secondLateMs = 0): Run {
  const breathes = (timeMs: number): number => Math.sin(timeMs / 40_000);
  return run(
    SITE,
    readings(START_MS, END_MS, 10, (timeMs) => {
      const [stands, gone] = [timeMs >= STOP_MS && timeMs < RESTART_MS, timeMs >= STOP_MS + HOUR_MS];
      const sways = stands ? 0 : breathes(timeMs);
      return {
        'line/running': stands ? 0 : 1,
        ...sides(110 + sways + (gone ? firstMm : 0)),
        ...(gone && timeMs < RESTART_MS + secondLateMs ? {} : sides(120 + sways + (gone ? secondMm : 0), 'tu2')),
      };
    }),
  );
}

const suggested = ({ findings }: Run): unknown[] =>
  findings.map(({ takeup, finding, suggestion }) => [takeup, finding, suggestion?.['pitches']]);

describe('chain taken out where two take-ups share it', () => {
  test.each([
    ['each comes in by its usual share', -76.2, -76.2],
    ['one comes in by more than the other', -90, -62.4],
  ])('is four pitches on both where %s', (_, firstMm, secondMm) => {
    expect(suggested(moved(firstMm, secondMm))).toEqual([
      ['tu1', 'chain-removed', 4],
      ['tu2', 'chain-removed', 4],
    ]);
  });

  it('is four pitches where one comes in for all and the other stays', () => {
    expect(suggested(moved(-152.4, 0))).toEqual([['tu1', 'chain-removed', 4]]);
  });

  it('is four pitches in the end where the other is heard of half an hour later', () => {
    expect(suggested(moved(-90, -62.4, HOUR_MS / 2))).toEqual([
      ['tu1', 'chain-removed', 4],
      ['tu2', 'chain-removed', 4],
    ]);
  });
});
