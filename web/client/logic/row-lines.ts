import type { Room } from './floor-room.js';

/** A row of the floor has so many lines for alarms and states without growing by them. */
const LINES: Readonly<Record<Room, number>> = { row: 3, tall: 5, large: 4 };
/** So many states stand beside one another on a line; that there are more alarms counts as one. */
const ON_A_LINE = 3;

export interface RowLines {
  /** How many alarms are named. */
  readonly alarms: number;
  /** Whether a line is left, so that words may take two. */
  readonly roomy: boolean;
}

/** How the lines of a row are shared between its alarms and the states that the take-up is in: no word of them is cut. */
export function rowLines(alarms: number, states: number, room: Room): RowLines {
  const used = alarms + Math.ceil(states / ON_A_LINE);
  if (used <= LINES[room]) return { alarms, roomy: used < LINES[room] };
  return { alarms: LINES[room] - Math.ceil((states + 1) / ON_A_LINE), roomy: false };
}

/**
 * Of a sentence that says why and goes on with what follows from it, the part that says why: a row has no room for more, and the
 * take-up's own page has it whole.
 */
export function briefWhy(sentence: string): string {
  return /^[^:,]+(?=[:,])/.exec(sentence)?.[0] ?? sentence;
}
