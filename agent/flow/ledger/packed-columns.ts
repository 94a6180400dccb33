/** Ten-thousandths: what a sensor to the hundredth leaves of medians and means of two. */
const PARTS = 10_000;
const MOST_WHOLE = 2 ** 31 - 1;

/** How a column is kept: as the one number that all of it is, as ten-thousandths, or as it came. */
type Kept = 'one' | 'parts' | 'as-it-came';

/** Rows of numbers laid together by columns, for reading only. Every number comes back to the last bit. */
export class PackedColumns {
  private readonly kept: readonly Kept[];
  /** Of each column its one number, or where it begins among those that are kept alike. */
  private readonly begins: readonly number[];
  private readonly parts: Int32Array;
  private readonly numbers: Float64Array;

  /** @param count - of rows, at least one */
  constructor(count: number, width: number, numberAt: (row: number, column: number) => number) {
    const columns = Array.from({ length: width }, (_, column) => {
      const numbers = new Float64Array(count);
      for (let row = 0; row < count; row++) numbers[row] = numberAt(row, column);
      return { kept: howKept(numbers), numbers };
    });
    this.kept = columns.map(({ kept }) => kept);
    const room = { parts: 0, 'as-it-came': 0 };
    this.begins = columns.map(({ kept, numbers }) => {
      if (kept === 'one') return numbers[0] as number;
      room[kept] += count;
      return room[kept] - count;
    });
    this.parts = new Int32Array(room.parts);
    this.numbers = new Float64Array(room['as-it-came']);
    columns.forEach(({ kept, numbers }, column) => {
      const begin = this.begins[column] as number;
      if (kept === 'parts') numbers.forEach((number, row) => (this.parts[begin + row] = Math.round(number * PARTS)));
      else if (kept === 'as-it-came') this.numbers.set(numbers, begin);
    });
  }

  at(column: number, row: number): number {
    const begin = this.begins[column] as number;
    const kept = this.kept[column];
    if (kept === 'one') return begin;
    return kept === 'parts' ? (this.parts[begin + row] as number) / PARTS : (this.numbers[begin + row] as number);
  }
}

function howKept(numbers: Float64Array): Kept {
  const [first] = numbers;
  if (numbers.every((number) => Object.is(number, first))) return 'one';
  const whole = numbers.every((number) => {
    const parts = Math.round(number * PARTS);
    return Math.abs(parts) <= MOST_WHOLE && Object.is(parts / PARTS, number) && !Object.is(parts, -0);
  });
  return whole ? 'parts' : 'as-it-came';
}
