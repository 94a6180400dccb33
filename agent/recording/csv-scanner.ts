import { parseTimeBytes } from '../units/time.js';
import { parseDecimalBytes, parseTruthBytes } from './byte-decimal.js';
import type { CsvColumns } from './csv-columns.js';
import { BLANK, CsvRowSplitter, SHORT, UNFINISHED } from './csv-row-splitter.js';
import { LONGEST_RECORD, readCsvRecord } from './csv-record.js';
import type { OnReject } from './reading-batch.js';
import type { SignalNames } from './signal-names.js';
import type { TimeOrder } from './time-order.js';

const NEWLINE = 0x0a;
const RETURN = 0x0d;
const COMMA = 0x2c;

/** A longer value is read by the general way. */
const LONGEST_USUAL_VALUE = 40;

/**
 * Reads the rows of a CSV recording straight from bytes: no text and no object is made for a row in the usual form.
 * What is unusual (a doubled quote, a line break within quotes) goes through `readCsvRecord`.
 */
export class CsvScanner {
  readonly #columns: CsvColumns;
  /** Fields up to here are needed; what stands behind them is passed over. */
  readonly #needed: number;
  readonly #row: CsvRowSplitter;
  readonly #names: SignalNames;
  readonly #order: TimeOrder;
  readonly #onReject: OnReject;
  /** The columns stand as the contract names them. */
  readonly #usualOrder: boolean;
  /** Bytes of the last time read: the next one most often has as many. */
  #timeLength = 0;
  #line: number;
  #rows = 0;
  /** Within a line that was too long: everything up to its end is passed over. */
  #skipping = false;

  /** @param line - line of the file at which the rows begin */
  constructor(columns: CsvColumns, names: SignalNames, order: TimeOrder, onReject: OnReject, line: number) {
    this.#columns = columns;
    this.#usualOrder = columns.time === 0 && columns.signal === 1 && columns.value === 2;
    this.#needed = Math.max(columns.time, columns.signal, columns.value) + 1;
    this.#row = new CsvRowSplitter(this.#needed);
    this.#names = names;
    this.#order = order;
    this.#onReject = onReject;
    this.#line = line;
  }

  /** Rows met so far, taken or not. */
  get rows(): number {
    return this.#rows;
  }

  /**
   * Reads the whole records in `bytes[from, to)`.
   *
   * @param last - no more bytes follow; the last line then ends in a line break too
   * @returns offset of the first byte not consumed: the beginning of a record that goes on beyond `to`
   */
  scan(bytes: Buffer, from: number, to: number, last: boolean): number {
    let at = from;
    if (this.#skipping) at = this.#skip(bytes, at, to);
    while (at < to) {
      const after = this.#usualOrder ? this.#takeUsual(bytes, at, to) : at;
      if (after > at) {
        at = after;
        continue;
      }
      const end = this.#row.split(bytes, at, to);
      if (end >= 0) {
        if (end - at > LONGEST_RECORD) this.#reject();
        else this.#takeRow(bytes);
        this.#line++;
        at = end + 1;
        continue;
      }
      const next = end === BLANK ? this.#skip(bytes, at, to) : this.#unusual(bytes, at, to, last, end);
      if (next === at) return at;
      at = next;
    }
    return at;
  }

  /**
   * Takes a row that is as nearly all rows are: three fields without quotes or blanks, the time as long as the last one,
   * a known signal, a decimal. Each byte of it is looked at once, by the parser that wants it.
   *
   * @returns offset of what follows, or `at` where the row is anything else
   */
  #takeUsual(bytes: Buffer, at: number, to: number): number {
    const timeEnd = at + this.#timeLength;
    if (timeEnd >= to || bytes[timeEnd] !== COMMA) return at;
    const timeMs = parseTimeBytes(bytes, at, timeEnd);
    if (Number.isNaN(timeMs)) return at;
    const signal = this.#names.findBefore(bytes, timeEnd + 1, to, COMMA);
    if (signal < 0) return at;
    const start = timeEnd + this.#names.lengthOf(signal) + 2;
    const limit = Math.min(to, start + LONGEST_USUAL_VALUE);
    let end = start;
    while (end < limit && bytes[end] !== NEWLINE) end++;
    if (end === limit) return at;
    const value = parseDecimalBytes(bytes, start, bytes[end - 1] === RETURN ? end - 1 : end);
    if (Number.isNaN(value)) return at;
    this.#rows++;
    this.#order.add(timeMs, signal, value, this.#line++);
    return end + 1;
  }

  #takeRow(bytes: Buffer): void {
    const { time, signal, value } = this.#columns;
    const { starts, ends } = this.#row;
    const timeMs = parseTimeBytes(bytes, starts[time] as number, ends[time] as number);
    const index = this.#names.find(bytes, starts[signal] as number, ends[signal] as number);
    const number = parseDecimalBytes(bytes, starts[value] as number, ends[value] as number);
    if (index >= 0 && !Number.isNaN(timeMs) && !Number.isNaN(number)) {
      this.#rows++;
      this.#timeLength = (ends[time] as number) - (starts[time] as number);
      this.#order.add(timeMs, index, number, this.#line);
    } else this.#takeDoubtful(bytes);
  }

  /** A row of three fields that are not all as they should be at first sight: blanks around them, true and false, or a fault. */
  #takeDoubtful(bytes: Buffer): void {
    const { time, signal, value } = this.#columns;
    for (const column of [time, signal, value]) this.#row.trim(bytes, column);
    const { starts, ends } = this.#row;
    const timeMs = parseTimeBytes(bytes, starts[time] as number, ends[time] as number);
    if (Number.isNaN(timeMs)) {
      this.#reject();
      return;
    }
    const index = this.#names.find(bytes, starts[signal] as number, ends[signal] as number);
    let number = parseDecimalBytes(bytes, starts[value] as number, ends[value] as number);
    if (Number.isNaN(number)) number = parseTruthBytes(bytes, starts[value] as number, ends[value] as number);
    this.#rows++;
    if (Number.isNaN(number)) this.#onReject(this.#line, 'unparsable');
    else if (index < 0) this.#onReject(this.#line, 'unknown-signal');
    if (index >= 0) this.#order.add(timeMs, index, number, this.#line);
  }

  /** @returns offset of what follows, or `at` where more bytes are needed */
  #unusual(bytes: Buffer, at: number, to: number, last: boolean, why: number): number {
    if (why === UNFINISHED) {
      if (to - at <= LONGEST_RECORD) return at;
      this.#reject();
      this.#skipping = true;
      return to;
    }
    if (why === SHORT) {
      this.#reject();
      return this.#skip(bytes, at, to);
    }
    const record = readCsvRecord(bytes, at, to);
    if (record === 'unfinished' && !last) return at;
    if (typeof record === 'string') {
      // A stray quote costs its own line only, not all that follows up to the next quote.
      this.#reject();
      return this.#skip(bytes, at, to);
    }
    this.#takeTexts(record.fields);
    this.#line += record.lines;
    return record.next;
  }

  #takeTexts(fields: readonly string[]): void {
    const { time, signal, value } = this.#columns;
    if (fields.length < this.#needed) {
      this.#reject();
      return;
    }
    // Laid out as the usual row would be, so that there is one way to judge a row.
    const texts = [time, signal, value].map((column) => Buffer.from(fields[column] ?? ''));
    let offset = 0;
    [time, signal, value].forEach((column, i) => {
      this.#row.starts[column] = offset;
      offset += texts[i]?.length ?? 0;
      this.#row.ends[column] = offset;
    });
    const bytes = Buffer.concat(texts);
    this.#takeRow(bytes);
  }

  /** Passes over the rest of a line and counts it. */
  #skip(bytes: Buffer, at: number, to: number): number {
    const end = bytes.subarray(at, to).indexOf(NEWLINE);
    this.#skipping = end < 0;
    if (end < 0) return to;
    this.#line++;
    return at + end + 1;
  }

  #reject(): void {
    this.#rows++;
    this.#onReject(this.#line, 'unparsable');
  }
}
