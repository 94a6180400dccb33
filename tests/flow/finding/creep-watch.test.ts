import { describe, expect, it } from 'vitest';
import { CreepWatch, type CreepWatchSaved } from '../../../agent/flow/finding/creep-watch.js';

const WINDOW_MS = 600_000;
const A_DAY = 144;

type Seen = NonNullable<ReturnType<CreepWatch['push']>>;

/** Windows of ten minutes, one after the other, where the carriage stands at a position by the day. */
function watch(days: number, position: (day: number) => number, cut?: number): (readonly [day: number, step: Seen])[] {
  let creep = new CreepWatch(4);
  return Array.from({ length: days * A_DAY }, (_, i) => i).flatMap((i) => {
    if (i === cut) creep = new CreepWatch(4, JSON.parse(JSON.stringify(creep.save())) as CreepWatchSaved);
    const sample = { fromMs: i * WINDOW_MS, toMs: (i + 1) * WINDOW_MS, restMm: position(i / A_DAY) + 0.2 * Math.sin(i * 2.4), stoodMs: 0 };
    const step = creep.push(sample);
    return step === undefined ? [] : [[i / A_DAY, step] as const];
  });
}

/** Chain that catches by and by: in by so much within so many days from the twelfth on. */
const catching =
  (byMm: number, within: number) =>
  (day: number): number =>
    60 - byMm * Math.min(1, Math.max(0, (day - 12) / within));

describe('a slow move inwards', () => {
  it('is told when it has stood beyond the set-point for an hour', () => {
    const [first, ...others] = watch(14, catching(10, 0.3));
    expect(others).toEqual([]);
    const [day, step] = first!;
    expect(step).toMatchObject({ whileRunning: true });
    expect(step.moveMm).toBeLessThanOrEqual(-4);
    expect(day).toBeGreaterThan(12);
    expect(day).toBeLessThan(12.3);
    expect(step.fromMs).toBeGreaterThanOrEqual(11.9 * A_DAY * WINDOW_MS);
  });

  it.each([
    ['smaller than the set-point', catching(3, 0.3)],
    ['no move but wear', (day: number) => 60 + 0.6 * day],
    ['what every morning does', (day: number) => 60 - (day % 1 < 0.1 ? 9 : 0)],
    ['over days, as the chain may be drawn in by cold weather', catching(10, 6)],
  ])('is none where it is %s', (_, position) => {
    expect(watch(20, position)).toEqual([]);
  });

  it('cannot be told before a week has shown what is usual', () => {
    expect(watch(7, (day) => (day < 5 ? 60 : 50))).toEqual([]);
  });

  it('is the same whether or not the watch was saved on the way', () => {
    for (const cut of [3 * A_DAY, 12 * A_DAY + 5, 12 * A_DAY + 20])
      expect(watch(14, catching(10, 0.3), cut)).toEqual(watch(14, catching(10, 0.3)));
  });
});
