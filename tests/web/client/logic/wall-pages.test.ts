import { describe, expect, it } from 'vitest';
import { PAGE_MS, SHIFT_MS, wallPage, wallPages, wallShift } from '../../../../web/client/logic/wall-pages.js';

const rows = (count: number) => Array.from({ length: count }, (_, index) => index);

describe('a wall', () => {
  it('shows all on one page where all fits', () => {
    expect(wallPages(rows(12), 13)).toEqual([rows(12)]);
    expect(wallPages([], 13)).toEqual([[]]);
  });

  it('shows the rest on pages as even as they can be, and leaves none out', () => {
    const pages = wallPages(rows(200), 13);
    expect(pages.flat()).toEqual(rows(200));
    expect(Math.max(...pages.map(({ length }) => length))).toBeLessThanOrEqual(13);
    expect(pages).toHaveLength(16);
  });

  it('goes on by itself, and begins again', () => {
    expect([0, 1, 2, 3].map((turn) => wallPage(3, turn * PAGE_MS))).toEqual([0, 1, 2, 0]);
  });

  it('never leaves an edge where it is, and comes back', () => {
    const places = Array.from({ length: 8 }, (_, turn) => wallShift(turn * SHIFT_MS).join());
    expect(new Set(places).size).toBe(8);
    expect(wallShift(8 * SHIFT_MS)).toEqual([0, 0]);
  });
});
