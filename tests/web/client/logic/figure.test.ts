import { describe, expect, it } from 'vitest';
import { numberOf, reasonOf, reasonWords } from '../../../../web/client/logic/figure.js';

describe('a figure', () => {
  it('is a number, or the reason why there is none', () => {
    expect([numberOf(12), reasonOf(12)]).toEqual([12, undefined]);
    expect([numberOf({ unknown: 'signal-lost' }), reasonOf({ unknown: 'signal-lost' })]).toEqual([undefined, 'sensor silent']);
    expect([numberOf(undefined), reasonOf(undefined)]).toEqual([undefined, undefined]);
  });

  it('keeps a reason that a newer agent gives', () => {
    expect(reasonWords('sensor-frozen-over')).toBe('sensor frozen over');
  });
});
