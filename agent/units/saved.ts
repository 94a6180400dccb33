/**
 * Numbers in saved state. JSON has no NaN, which is how an unset number stands in memory, so it is written as null;
 * every other finite number comes back from JSON bit for bit.
 */
export type SavedNumber = number | null;

export function toSaved(value: number): SavedNumber {
  return Number.isNaN(value) ? null : value;
}

export function fromSaved(value: SavedNumber | undefined): number {
  return value ?? NaN;
}

/** The first `count` numbers of a column, for saving. */
export function columnToSaved(column: Float64Array, count: number): SavedNumber[] {
  return Array.from(column.subarray(0, count), toSaved);
}

/** Puts saved numbers back into a column and says how many there were. */
export function columnFromSaved(column: Float64Array, saved: readonly SavedNumber[]): number {
  saved.forEach((value, index) => {
    column[index] = fromSaved(value);
  });
  return saved.length;
}
