import { describe, expect, it } from 'vitest';
import { DoubtWatch, type Doubt, type DoubtWatchSaved } from '../../../agent/flow/finding/doubt-watch.js';

const WINDOW_MS = 600_000;

interface Shown {
  readonly rangeMm?: number;
  readonly otherRangeMm?: number;
  readonly noiseMm?: number;
  readonly stillMm?: number;
}

/** Windows of ten minutes, one after the other, of a side that moves like the other where nothing else is said. */
function watch(windows: readonly Shown[], cut?: number): (readonly [window: number, doubt: Doubt])[] {
  let doubt = new DoubtWatch();
  return windows.flatMap(({ rangeMm = 4, otherRangeMm = 4, noiseMm = 0.05, stillMm = NaN }, i) => {
    if (i === cut) doubt = new DoubtWatch(JSON.parse(JSON.stringify(doubt.save())) as DoubtWatchSaved);
    const turn = doubt.push({ fromMs: i * WINDOW_MS, toMs: (i + 1) * WINDOW_MS, count: 600, rangeMm, otherRangeMm, noiseMm, stillMm });
    return turn === undefined ? [] : [[i, turn] as const];
  });
}

const times = (count: number, shown: Shown = {}): Shown[] => Array.from({ length: count }, () => shown);

describe('a sensor', () => {
  it('that moves with the other side is not doubted', () => {
    expect(watch(times(500))).toEqual([]);
  });

  it('that reads the same to the last digit for an hour while the other moves is doubted, to the minute', () => {
    const [first, ...others] = watch([...times(50), ...times(12, { rangeMm: 0 })]);
    expect(others).toEqual([]);
    expect(first![1]).toMatchObject({ turn: 'raised', why: 'flat', sinceMs: 50 * WINDOW_MS, atMs: 56 * WINDOW_MS });
  });

  it('is not doubted while both sides are still, nor for less than an hour', () => {
    expect(watch([...times(50), ...times(50, { rangeMm: 0, otherRangeMm: 0 })])).toEqual([]);
    expect(watch([...times(50), ...times(5, { rangeMm: 0 }), ...times(5), ...times(5, { rangeMm: 0 })])).toEqual([]);
  });

  it('that is more than five times as noisy as usual, in two windows, is doubted, and no more when it is quiet', () => {
    const turns = watch([...times(100), ...times(10, { noiseMm: 0.3 }), ...times(10)]);
    expect(turns.map(([i, { turn }]) => [i, turn])).toEqual([
      [101, 'raised'],
      [110, 'cleared'],
    ]);
    expect(watch([...times(100), ...times(10, { noiseMm: 0.24 })])).toEqual([]);
    expect(watch([...times(100), { noiseMm: 0.3 }, ...times(10)])).toEqual([]);
  });

  it('that never showed any noise is not doubted for a trace of it', () => {
    expect(watch([...times(100, { noiseMm: 1e-15 }), ...times(10, { noiseMm: 0.04 })])).toEqual([]);
    expect(watch([...times(100, { noiseMm: 1e-15 }), ...times(10, { noiseMm: 0.06 })])).toHaveLength(1);
  });

  it('does not come to count its noise as usual', () => {
    expect(watch([...times(100), ...times(1000, { noiseMm: 0.3 })]).map(([, { turn }]) => turn)).toEqual(['raised']);
  });

  it('is not doubted before its usual noise is known', () => {
    expect(watch([...times(20), ...times(10, { noiseMm: 3 })])).toEqual([]);
  });

  it('is judged the same whether or not the watch was saved on the way', () => {
    const shown = [...times(60), ...times(12, { rangeMm: 0 }), ...times(20), ...times(10, { noiseMm: 0.3 }), ...times(5)];
    for (const cut of [10, 62, 66, 93, 96]) expect(watch(shown, cut)).toEqual(watch(shown));
  });
});
