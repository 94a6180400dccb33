import { describe, expect, it } from 'vitest';
import type { PathSegment } from '../../../../agent/site/site.js';
import { loopSeries, loopTable, type Loop } from '../../../../web/client/logic/loop-series.js';
import { loopAnswer } from '../../../../web/server/logic/loop-answer.js';
import { curve, DRIVE, straight } from '../../../plan/loops.js';
import { planWith } from './a-plan.js';

const PATH = [straight(40, 0, 100, 0.03), curve(180, 0.03, 0.9, 100), straight(42.827, 0, 150, 0.03), DRIVE];

function loopOf(path: readonly PathSegment[] = PATH): Loop {
  const { conveyor, takeup } = planWith({ path });
  const figures = { positionMm: 210, elongationPct: 0.4, springLeftMm: 285, springRightMm: 283 };
  const basis = { source: 'given', asOf: null, ageMs: null, sentence: '', figures, given: [], warnings: [] } as const;
  const { loop, refused } = loopAnswer({ conveyor, takeup, units: 'metric' }, basis, undefined);
  if (loop === null) throw new Error(refused.join(' '));
  return loop;
}

describe('the chart of the loop', () => {
  it('runs from the take-up to the take-up, highest before the drive and falling at it', () => {
    const [loaded] = loopSeries(loopOf(), false, 'metric');
    expect(loaded?.points[0]?.x).toBe(0);
    // 40 m, a half circle of 0.9 m radius (2.827 m), 42.827 m: developed lengths along the chain.
    expect(loaded?.points.at(-1)?.x).toBeCloseTo(85.654, 2);
    const tensions = loaded?.points.map(({ y }) => y) ?? [];
    expect(Math.max(...tensions)).toBe(tensions.at(-2));
    expect(tensions.at(-1)).toBeLessThan(tensions.at(-2) ?? 0);
  });

  it('shows loaded, empty and backwards over the same places', () => {
    const series = loopSeries(loopOf(), true, 'metric');
    expect(series.map(({ key }) => key)).toEqual(['loaded', 'empty', 'backwards', 'backwards-empty']);
    const [first, ...others] = series.map(({ points }) => points.map(({ x }) => Number(x.toFixed(3))));
    for (const other of others) expect(other).toEqual(first);
    // Backwards the take-up is the tight side: there the tension is highest at its own end of the loop.
    const back = series.find(({ key }) => key === 'backwards')?.points.map(({ y }) => y) ?? [];
    expect(Math.max(...back)).toBe(back[0]);
  });

  it('says the same as a table, in the units of the reader', () => {
    const table = loopTable(loopOf(), false, 'imperial');
    expect(table.columns).toEqual(['Forwards, every carrier loaded, lbf', 'Forwards, every carrier empty, lbf']);
    expect(table.rows.map(({ place }) => place.replaceAll('\u00a0', ' '))).toEqual([
      'leaving the take-up',
      'end of: straight, 40.00 m',
      'end of: curve of 180°, 2.83 m',
      'before the drive',
      'entering the take-up',
    ]);
    expect(table.rows.at(-1)?.at).toBe('281');
    for (const { tensions } of table.rows) expect(tensions).toHaveLength(2);
  });

  it('shows the worst case of the loads too where it is neither loaded nor empty', () => {
    const hilly = [straight(40, 0, 200, 0.03), straight(40, -8, 200, 0.03), straight(40, 8, 20, 0.03), DRIVE];
    expect(loopSeries(loopOf(hilly), false, 'metric').map(({ key }) => key)).toEqual(['loaded', 'empty', 'worst']);
  });
});
