import { describe, expect, it } from 'vitest';
import type { StandingEntry } from '../../../../web/server/logic/live-messages.js';
import { compareAlarms, compareNeed, type Needy } from '../../../../web/client/logic/floor-order.js';
import { alarmOf } from '../../a-takeup.js';

const alarm = (different: Partial<StandingEntry>): StandingEntry => ({ id: 'a', ...alarmOf(), ...different });
const takeup = (key: string, alarms: readonly StandingEntry[] = [], early?: string): Needy => ({ key, alarms, early });

describe('who comes first on the floor', () => {
  it('is who has the most pressing alarm, new before acknowledged, then whose is over, then whose stroke ends first, then the name', () => {
    const expected = [
      takeup('urgent', [alarm({ priority: 'low' }), alarm({ priority: 'urgent' })]),
      takeup('high', [alarm({ priority: 'high' })]),
      takeup('high, seen', [alarm({ priority: 'high', state: 'acknowledged' })]),
      takeup('low', [alarm({ priority: 'low' })]),
      takeup('urgent, over', [alarm({ priority: 'urgent', state: 'returned-unacknowledged' })]),
      takeup('soon', [], '2026-03-20'),
      takeup('shelved, later', [alarm({ priority: 'urgent', state: 'shelved' })], '2026-04-01'),
      takeup('line9/tu1'),
      takeup('line10/tu1'),
    ];
    expect(expected.toReversed().toSorted(compareNeed)).toEqual(expected);
  });
});

describe('alarms in a list', () => {
  it('are ordered by priority, new before acknowledged, the oldest first', () => {
    const expected = [
      alarm({ id: '1', priority: 'urgent', state: 'acknowledged' }),
      alarm({ id: '2', priority: 'high', since: '2026-03-01T00:00:00Z' }),
      alarm({ id: '3', priority: 'high', since: '2026-03-02T00:00:00Z' }),
      alarm({ id: '4', priority: 'high', since: '2026-02-01T00:00:00Z', state: 'acknowledged' }),
    ];
    expect(expected.toReversed().toSorted(compareAlarms)).toEqual(expected);
  });
});
