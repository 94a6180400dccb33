import { describe, expect, it } from 'vitest';
import type { ServiceEntry } from '../../../agent/contract/service-entry.js';
import { effectiveEntries } from '../../../agent/flow/service/corrections.js';

const DAY_MS = 86_400_000;

describe('the entries that count', () => {
  const removal: ServiceEntry = { kind: 'chain-removed', id: 'e1', timeMs: 2 * DAY_MS, conveyor: 'enamel', pitches: 12 };
  const greased: ServiceEntry = { kind: 'lubricated', timeMs: DAY_MS, conveyor: 'enamel' };
  const fewer: ServiceEntry = { kind: 'correction', timeMs: 3 * DAY_MS, replaces: 'e1', changes: { pitches: 10 } };

  it('are the work as corrected, in order of time, without the corrections', () => {
    expect(effectiveEntries([fewer, removal, greased])).toEqual([greased, { ...removal, pitches: 10 }]);
  });

  it('leave a correction aside whose entry is not among them', () => {
    expect(effectiveEntries([greased, fewer])).toEqual([greased]);
  });
});
