import { describe, expect, it } from 'vitest';
import { largestThatFits, roomFor, ROW_PX } from '../../../../web/client/logic/floor-room.js';

describe('how large a take-up is drawn', () => {
  it('goes by how many there are: three have most room, more than seven the least', () => {
    expect([1, 3, 4, 7, 8, 200].map(roomFor)).toEqual(['large', 'large', 'tall', 'tall', 'row', 'row']);
  });

  it('is never so large that one is left out which would fit', () => {
    expect(largestThatFits(3, 3 * ROW_PX.large)).toBe('large');
    expect(largestThatFits(3, 3 * ROW_PX.large - 1)).toBe('tall');
    expect(largestThatFits(7, 610)).toBe('row');
    expect(largestThatFits(7, 1080)).toBe('tall');
  });
});
