/** Ten-thousandths: what a sensor to the hundredth leaves of medians and means of two. */
const PARTS = 10_000;
const MOST_WHOLE = 2 ** 31 - 1;

/** How a column is kept: as the one number that all of it is, as ten-thousandths, or as it came. */
type Kept = 'one' | 'parts' | 'as-it-came';

/** Rows of numbers laid together by columns, for reading only. Every number comes back to the last bit. */
export class PackedColumns<Field extends string> {
  private readonly kept: readonly Kept[];
  /** Of each column its one number, or where it begins among those that are kept alike. */
  private readonly begins: readonly number[];
  private readonly parts: Int32Array;
  private readonly numbers: Float64Array;

  /** @param rows - at least one */
  constructor(rows: readonly Readonly<Record<Field, number>>[], fields: readonly Field[]) {
    const count = rows.length;
    this.kept = fields.map((field) => howKept(rows, field));
    const room = { parts: 0, 'as-it-came': 0 };
    this.begins = this.kept.map((kept, column) => {
      if (kept === 'one') return (rows[0] as Record<Field, number>)[fields[column] as Field];
      room[kept] += count;
      return room[kept] - count;
    });
    this.parts = new Int32Array(room.parts);
    this.numbers = new Float64Array(room['as-it-came']);
    fields.forEach((field, column) => {
      const begin = this.begins[column] as number;
      const kept = this.kept[column];
      rows.forEach((row, place) => {
        if (kept === 'parts') this.parts[begin + place] = Math.round(row[field] * PARTS);
        else if (kept === 'as-it-came') this.numbers[begin + place] = row[field];
      });
    });
  }

  at(column: number, row: number): number {
    const begin = this.begins[column] as number;
    const kept = this.kept[column];
    if (kept === 'one') return begin;
    return kept === 'parts' ? (this.parts[begin + row] as number) / PARTS : (this.numbers[begin + row] as number);
  }
}

function howKept<Field extends string>(rows: readonly Readonly<Record<Field, number>>[], field: Field): Kept {
  const first = (rows[0] as Record<Field, number>)[field];
  if (rows.every((row) => Object.is(row[field], first))) return 'one';
  const whole = rows.every((row) => {
    const parts = Math.round(row[field] * PARTS);
    return Math.abs(parts) <= MOST_WHOLE && Object.is(parts / PARTS, row[field]) && !Object.is(parts, -0);
  });
  return whole ? 'parts' : 'as-it-came';
}
