/** A wall shows a page for so long. */
export const PAGE_MS = 15_000;
/** Everything is moved by a pixel so often, so that no edge burns in. */
export const SHIFT_MS = 60_000;

/** How a wall is divided: as many rows a page as fit, the pages as even as they can be. */
export function wallPages<T>(rows: readonly T[], fits: number): readonly (readonly T[])[] {
  const most = Math.max(1, fits);
  const count = Math.max(1, Math.ceil(rows.length / most));
  const each = Math.ceil(rows.length / count);
  return Array.from({ length: count }, (_, page) => rows.slice(page * each, (page + 1) * each));
}

/** Which page is shown at a time; all walls of a plant show the same one. */
export function wallPage(count: number, nowMs: number): number {
  return Math.floor(nowMs / PAGE_MS) % Math.max(1, count);
}

/** By how many pixels the picture is moved at a time: round a square of three, so that every edge moves both ways. */
export function wallShift(nowMs: number): readonly [x: number, y: number] {
  const step = Math.floor(nowMs / SHIFT_MS) % SQUARE.length;
  return SQUARE[step] ?? [0, 0];
}

const SQUARE: readonly (readonly [number, number])[] = [
  [0, 0],
  [1, 0],
  [2, 0],
  [2, 1],
  [2, 2],
  [1, 2],
  [0, 2],
  [0, 1],
];
