const TAB = 0x09;
const NEWLINE = 0x0a;
const RETURN = 0x0d;
const SPACE = 0x20;
const QUOTE = 0x22;
const COMMA = 0x2c;

/** The row goes on beyond the bytes at hand. */
export const UNFINISHED = -1;
/** The line has nothing on it but blanks. */
export const BLANK = -2;
/** The row has fewer fields than are needed. */
export const SHORT = -3;
/** A quoted field holds a doubled quote or a line break, or is not closed as it should be. */
const QUOTED = -4;

/** Finds where the fields of a row begin and end, for the rows that can be seen through in one pass. */
export class CsvRowSplitter {
  /** Where each needed field of the last row begins and ends; within the quotes where it has any. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  readonly #needed: number;

  /** @param needed - fields up to this many are looked at; what stands behind them is passed over */
  constructor(needed: number) {
    this.#needed = needed;
    this.starts = new Int32Array(needed);
    this.ends = new Int32Array(needed);
  }

  /**
   * Finds the fields of the row at `bytes[at, to)` that are needed.
   *
   * @returns offset of the line break that ends it, or one of `UNFINISHED`, `BLANK`, `SHORT`, `QUOTED`
   */
  split(bytes: Buffer, at: number, to: number): number {
    const { starts, ends } = this;
    let field = 0;
    let start = at;
    let end = -1;
    for (let i = at; i < to; i++) {
      const byte = bytes[i] as number;
      if (byte > COMMA) continue;
      if (byte === COMMA) {
        if (field < this.#needed) {
          starts[field] = start;
          ends[field] = end < 0 ? i : end;
        }
        field++;
        start = i + 1;
        end = -1;
      } else if (byte === NEWLINE) {
        if (field < this.#needed) {
          starts[field] = start;
          ends[field] = end >= 0 ? end : bytes[i - 1] === RETURN && i > start ? i - 1 : i;
        }
        if (field + 1 >= this.#needed) return i;
        return field === 0 && isBlank(bytes, start, i) ? BLANK : SHORT;
      } else if (byte === QUOTE && i === start) {
        const close = closingQuote(bytes, i + 1, to);
        if (close < 0) return QUOTED;
        start = i + 1;
        end = close;
        i = close;
      }
    }
    return UNFINISHED;
  }

  /** Takes the blanks around a field away. */
  trim(bytes: Buffer, column: number): void {
    let start = this.starts[column] as number;
    let end = this.ends[column] as number;
    while (start < end && isBlankByte(bytes[start] as number)) start++;
    while (end > start && isBlankByte(bytes[end - 1] as number)) end--;
    this.starts[column] = start;
    this.ends[column] = end;
  }
}

function isBlank(bytes: Buffer, start: number, end: number): boolean {
  for (let i = start; i < end; i++) {
    const byte = bytes[i];
    if (byte !== SPACE && byte !== TAB && byte !== RETURN) return false;
  }
  return true;
}

/** Where the quote stands that closes a field on its own line with no doubled quote in it; −1 where that is not so. */
function closingQuote(bytes: Buffer, from: number, to: number): number {
  for (let i = from; i < to; i++) {
    const byte = bytes[i];
    if (byte === NEWLINE) return -1;
    if (byte !== QUOTE) continue;
    const next = bytes[i + 1];
    return i + 1 < to && (next === COMMA || next === NEWLINE || (next === RETURN && bytes[i + 2] === NEWLINE)) ? i : -1;
  }
  return -1;
}

function isBlankByte(byte: number): boolean {
  return byte === SPACE || byte === TAB;
}
