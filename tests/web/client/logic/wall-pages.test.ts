import { describe, expect, it } from 'vitest';
import { SHIFT_MS, wallPage, wallPages, wallShift } from '../../../../web/client/logic/wall-pages.js';

const rows = (count: number) => Array.from({ length: count }, (_, index) => index);

describe('a wall', () => {
  it('shows all on one page where all fits', () => {
    expect(wallPages(rows(12), 13, 2)).toEqual([rows(12)]);
    expect(wallPages([], 13, 0)).toEqual([[]]);
  });

  it('shows the rest on pages as even as they can be, and leaves none out', () => {
    const pages = wallPages(rows(200), 13, 0);
    expect(pages.flat()).toEqual(rows(200));
    expect(Math.max(...pages.map(({ length }) => length))).toBeLessThanOrEqual(13);
    expect(pages).toHaveLength(16);
  });

  it('keeps what needs someone on every page', () => {
    const pages = wallPages(rows(30), 10, 3);
    expect(pages.map((page) => page.slice(0, 3))).toEqual(pages.map(() => [0, 1, 2]));
    expect(pages.flatMap((page) => page.slice(3))).toEqual(rows(30).slice(3));
    expect(Math.max(...pages.map(({ length }) => length))).toBeLessThanOrEqual(10);
  });

  it('keeps half of a page for the others where nearly all need someone', () => {
    const pages = wallPages(rows(30), 10, 29);
    expect(pages).toHaveLength(5);
    expect(pages.flatMap((page) => page.slice(5))).toEqual(rows(30).slice(5));
    expect(wallPages(rows(3), 1, 3)).toEqual([[0], [1], [2]]);
  });

  it('goes on by itself, and begins again', () => {
    expect([0, 1, 2, 3].map((turn) => wallPage(3, turn * 20_000, 20_000))).toEqual([0, 1, 2, 0]);
  });

  it('never leaves an edge where it is, and comes back', () => {
    const places = Array.from({ length: 8 }, (_, turn) => wallShift(turn * SHIFT_MS).join());
    expect(new Set(places).size).toBe(8);
    expect(wallShift(8 * SHIFT_MS)).toEqual([0, 0]);
  });
});
