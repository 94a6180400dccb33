import { describe, expect, it } from 'vitest';
import { inUnits } from '../../../../agent/units/in-units.js';
import { valueAndLimit } from '../../../../web/client/logic/alarm-figures.js';

describe('what an alarm saw', () => {
  it('is given with its limit in the units of the reader', () => {
    expect(valueAndLimit({ value: 8.2, limit: 11.5, unit: 'mm' }, 'metric')).toBe('8.2\u00a0mm, limit 11.5\u00a0mm');
    expect(valueAndLimit({ value: 8.2, limit: 11.5, unit: 'mm' }, 'imperial')).toBe('0.32\u00a0in, limit 0.45\u00a0in');
  });

  it('is said to be unknown where it is', () => {
    expect(valueAndLimit({ value: { unknown: 'signal-fault' }, limit: null, unit: 'mm' }, 'metric')).toBe('unknown (sensor fault)');
  });

  it.each([
    [21, 'days', '21 days'],
    [0.15, 'ratio', '0.15'],
    [240, 's', '240 s'],
  ])('is the same everywhere as %d %s', (value, unit, words) => {
    expect([inUnits(value, unit, 'metric'), inUnits(value, unit, 'imperial')]).toEqual([words, words]);
  });
});
