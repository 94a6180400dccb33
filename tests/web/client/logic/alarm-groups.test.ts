import { describe, expect, it } from 'vitest';
import type { StandingEntry } from '../../../../web/server/logic/live-messages.js';
import { findAlarms, groupByConveyor, keepSame, shownOf } from '../../../../web/client/logic/alarm-groups.js';
import { alarmOf } from '../../a-takeup.js';

const entry = (conveyor: string | undefined, nth: number, different: Partial<StandingEntry> = {}): StandingEntry => ({
  ...alarmOf(),
  id: `${conveyor ?? ''} tu${nth}`,
  ...(conveyor === undefined ? {} : { conveyor, takeup: `tu${nth}` }),
  ...different,
});

describe('standing alarms in groups', () => {
  it('are together by conveyor, the group of the first alarm first, and keep their order', () => {
    const groups = groupByConveyor([entry('line2', 1), entry('line1', 1), entry(undefined, 1), entry('line2', 2)]);
    expect(groups.map(({ conveyor, alarms }) => [conveyor, alarms.map(({ takeup }) => takeup)])).toEqual([
      ['line2', ['tu1', 'tu2']],
      ['line1', ['tu1']],
      [undefined, [undefined]],
    ]);
  });

  it('are all shown of a small group, and the first five of a large one until somebody asks', () => {
    const [six, seven] = [6, 7].map((count) => ({
      conveyor: 'line1',
      alarms: Array.from({ length: count }, (_, nth) => entry('line1', nth)),
    }));
    if (six === undefined || seven === undefined) throw new Error('there are two');
    expect([shownOf(six, false).length, shownOf(seven, false).length, shownOf(seven, true).length]).toEqual([6, 5, 7]);
  });

  it('are found by priority and by any words they are known by', () => {
    const alarms = [entry('line1', 1, { priority: 'low' }), entry('line1', 2)];
    const find = (query: string, priority: 'all' | 'low') =>
      findAlarms(alarms, query, priority, ({ takeup }) => ['Enamel furnace line', takeup ?? '']).map(({ takeup }) => takeup);
    expect([find('', 'all'), find('', 'low'), find('ENAMEL tu2', 'all'), find('tu2', 'low')]).toEqual([
      ['tu1', 'tu2'],
      ['tu1'],
      ['tu2'],
      [],
    ]);
  });
});

describe('a list that comes anew', () => {
  it('keeps the very entries that say the same, and takes those that do not', () => {
    const before = [entry('line1', 1), entry('line1', 2)];
    const after = [entry('line1', 1), entry('line1', 2, { state: 'acknowledged' }), entry('line1', 3)];
    const kept = keepSame(before, after);
    expect(kept).toEqual(after);
    expect([kept[0] === before[0], kept[1] === after[1], kept[2] === after[2]]).toEqual([true, true, true]);
  });
});
