import { describe, expect, it } from 'vitest';
import type { BenchDifferences } from '../../../../agent/contract/bench.js';
import { comparisonText } from '../../../../web/client/logic/comparison-text.js';

const AT_MS = Date.parse('2026-02-03T09:00:00Z');
const RECORDING = { name: 'march.csv', firstMs: AT_MS, lastMs: AT_MS + 3600_000, timezone: 'Europe/Oslo' };

describe('what a comparison showed', () => {
  it('says which alarms come, go and move, and how the figures differ', () => {
    const found: BenchDifferences = {
      same: 2,
      events: [
        { what: 'alarm', key: 'stroke-low', conveyor: 'enamel', takeup: 'tu1', change: 'earlier', aMs: AT_MS + 200_000, bMs: AT_MS },
        { what: 'finding', key: 'wear-fast', conveyor: 'enamel', takeup: 'tu1', change: 'lost', aMs: AT_MS, bMs: null },
      ],
      takeups: [
        {
          ...{ conveyor: 'enamel', takeup: 'tu1', elongationPct: [0.1, 0.1], positionMm: [1, 1], largestOfDay: null },
          ...{ strokeOut: ['2026-05-06', '2026-05-09'], springSlack: [null, null], wearLimit: [null, null] },
        },
      ],
      rejected: [],
    };
    expect(comparisonText(RECORDING, found).split('\n')).toEqual([
      'Tried on the bench on march.csv, 2026-02-03 10:00:00 to 2026-02-03 11:00:00.',
      '2 alarms and findings differ, 2 are the same:',
      '- Travel low, enamel tu1: earlier by 3 min 20 s, was at 2026-02-03 10:03:20',
      '- Wear fast, enamel tu1: gone, was at 2026-02-03 10:00:00',
      'enamel tu1: elongation 0.1000 %, stroke used up 2026-05-06 → 2026-05-09, springs slack none, chain worn none.',
    ]);
  });

  it('stays short however much differs', () => {
    const event = { what: 'alarm', key: 'stroke-low', conveyor: 'a', takeup: 'b', change: 'gained', aMs: null, bMs: AT_MS } as const;
    const text = comparisonText(RECORDING, { same: 0, events: Array.from({ length: 500 }, () => event), takeups: [], rejected: [] });
    expect(text).toContain('- and 470 more');
    expect(text.length).toBeLessThan(5000);
  });
});
