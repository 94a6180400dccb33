/** Everything is moved by a pixel so often, so that no edge burns in. */
export const SHIFT_MS = 60_000;

/**
 * How a wall is divided: as many rows a page as fit, the pages as even as they can be. The first rows, which need someone, stay on every
 * page, but for no more than half of one, so that the rest still comes round.
 *
 * @param rows - those that need someone first
 * @param needy - how many of them do
 */
export function wallPages<T>(rows: readonly T[], fits: number, needy: number): readonly (readonly T[])[] {
  const most = Math.max(1, fits);
  if (rows.length <= most) return [rows];
  const stay = Math.min(needy, Math.floor(most / 2));
  const rest = rows.slice(stay);
  const count = Math.ceil(rest.length / (most - stay));
  const each = Math.ceil(rest.length / count);
  return Array.from({ length: count }, (_, page) => [...rows.slice(0, stay), ...rest.slice(page * each, (page + 1) * each)]);
}

/** Which page is shown at a time; all walls of a plant show the same one. @param pageMs - for how long each is shown */
export function wallPage(count: number, nowMs: number, pageMs: number): number {
  return Math.floor(nowMs / pageMs) % Math.max(1, count);
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
