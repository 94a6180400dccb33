/** How large a take-up's row is drawn. */
export type Room = 'row' | 'tall' | 'large';

/** Height of a row with the gap below it, by how large it is drawn, with the letters of a wide screen; px. */
export const ROW_PX: Readonly<Record<Room, number>> = { row: 74, tall: 133, large: 292 };

/** The fewer there are, the larger they are drawn. */
export function roomFor(count: number): Room {
  if (count <= 3) return 'large';
  return count <= 7 ? 'tall' : 'row';
}

/** As large as there is reason for, or smaller where that leaves some out of a height. */
export function largestThatFits(count: number, heightPx: number): Room {
  const room = roomFor(count);
  const fits = (one: Room): boolean => count * ROW_PX[one] <= heightPx;
  if (room === 'large' && fits('large')) return room;
  return room !== 'row' && fits('tall') ? 'tall' : 'row';
}
