import { describe, expect, it } from 'vitest';
import { filterOf, withFilter } from '../../../../web/client/logic/filter-lines.js';

const SITE = 'site: { id: a }\nconveyors: []\n';

describe('the filter in a site file', () => {
  it('is written as a line of its own, read again, changed and taken out', () => {
    const set = withFilter(SITE, { smoothingS: 60, jumpMm: 2.5 })!;
    expect(set).toBe(`${SITE}filter: { smoothing_s: 60, jump_mm: 2.5 }\n`);
    expect(filterOf(set)).toEqual({ smoothingS: 60, jumpMm: 2.5 });
    expect(withFilter(set, { spikeK: 4 })).toBe(`${SITE}filter: { spike_k: 4 }\n`);
    expect(withFilter(set, {})).toBe(SITE);
  });

  it('that is as usual adds nothing', () => {
    expect(withFilter(SITE, {})).toBe(SITE);
    expect(filterOf(SITE)).toEqual({});
  });

  it('written over several lines is left to whoever wrote it so', () => {
    expect(withFilter(`${SITE}filter:\n  spike_k: 4\n`, { spikeK: 5 })).toBeUndefined();
  });
});
