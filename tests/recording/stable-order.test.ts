import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stableOrder } from '../../agent/recording/stable-order.js';

describe('the order of times', () => {
  it('rises, and leaves equal times in the order of the file', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 20 }), { maxLength: 200 }), (keys) => {
        const expected = keys.map((key, index) => ({ key, index })).sort((a, b) => a.key - b.key);
        expect([...stableOrder(Float64Array.from(keys), keys.length)]).toEqual(expected.map(({ index }) => index));
      }),
    );
  });

  it('looks at no more keys than are meant', () => {
    expect([...stableOrder(Float64Array.of(3, 2, 1), 2)]).toEqual([1, 0]);
    expect([...stableOrder(Float64Array.of(3, 2, 1), 0)]).toEqual([]);
  });
});
