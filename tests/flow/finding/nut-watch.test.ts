import { describe, expect, it } from 'vitest';
import { NutWatch, type NutStep, type NutWatchSaved } from '../../../agent/flow/finding/nut-watch.js';

const WINDOW_MS = 600_000;

/** Windows of ten minutes of a side whose spring and position are read; the conveyor stood for two hours before the twentieth. */
function watch(at: (window: number) => { readonly springMm: number; readonly positionMm: number }, cut?: number): NutStep[] {
  let nut = new NutWatch();
  return Array.from({ length: 40 }, (_, i) => i).flatMap((i) => {
    if (i === cut) nut = new NutWatch(JSON.parse(JSON.stringify(nut.save())) as NutWatchSaved);
    const fromMs = i * WINDOW_MS + (i < 20 ? 0 : 7_200_000);
    const { springMm, positionMm } = at(i);
    return nut.push(fromMs, fromMs + WINDOW_MS, springMm, positionMm, i === 20 ? 7_200_000 : 0) ?? [];
  });
}

describe('the spring against its side of the carriage', () => {
  it('does not change as the carriage moves, whatever moves it', () => {
    expect(watch((i) => ({ springMm: 220 - (i < 20 ? 0 : 76) + 0.1 * i, positionMm: 60 - (i < 20 ? 0 : 76) + 0.1 * i }))).toEqual([]);
  });

  it('steps when its nut is turned, by what the nut was turned', () => {
    const steps = watch((i) => ({ springMm: 220 - (i < 20 ? 0 : 6), positionMm: 60 + (i < 20 ? 0 : 0.4) }));
    expect(steps).toMatchObject([{ byPosition: false, springMm: 214 }]);
    expect(steps[0]!.moveMm).toBeCloseTo(-6.4, 9);
  });

  it('steps the other way about when it is the position that was set anew', () => {
    expect(watch((i) => ({ springMm: 220, positionMm: 60 + (i < 20 ? 0 : 12) }))).toMatchObject([{ byPosition: true }]);
  });

  it('does not step by less than a turn that somebody meant', () => {
    expect(watch((i) => ({ springMm: 220 - (i < 20 ? 0 : 0.8), positionMm: 60 }))).toEqual([]);
  });

  it('says nothing while one of the two is not known', () => {
    expect(watch((i) => ({ springMm: i < 20 ? 220 : NaN, positionMm: 60 }))).toEqual([]);
  });

  it('is judged the same whether or not the watch was saved on the way', () => {
    const at = (i: number): { springMm: number; positionMm: number } => ({ springMm: 220 - (i < 20 ? 0 : 6), positionMm: 60 });
    for (const cut of [5, 20, 23]) expect(watch(at, cut)).toEqual(watch(at));
  });
});
