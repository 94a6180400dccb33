import { resolve } from 'node:path';
import type { DuckDBConnection, DuckDBDataChunk, DuckDBValue } from '@duckdb/node-api';
import { TakelineFault } from '../process/fault.js';
import { parseTime, wholeTime } from '../units/time.js';
import { parseDecimalBytes, parseTruthBytes } from './byte-decimal.js';
import { openDuckDb, sqlPath, sqlText } from './duckdb-session.js';
import { chooseColumns, type ParquetColumns } from './parquet-columns.js';
import { NOTHING_YET, type OnReject, type ReadingBatch } from './reading-batch.js';
import { messageOf, recordingFault } from './recording-fault.js';
import type { RecordingSource } from './recording-source.js';
import { TimeOrder } from './time-order.js';

/** The first row of a table is listed as line 2, as it would be in a CSV with its header. */
const FIRST_LINE = 2;

/** After so many rows without a reading whoever waits for them is given a chance to look up. */
const LONGEST_SILENCE_ROWS = 250_000;

/** A Parquet recording, read by DuckDB in the order of its rows. */
export class ParquetSource implements RecordingSource {
  readonly #path: string;
  readonly #known: readonly string[];
  readonly #onReject: OnReject;
  readonly #order: TimeOrder;
  #rows = 0;
  #rowsInFile = 0;

  constructor(path: string, known: readonly string[], onReject: OnReject) {
    this.#path = path;
    this.#known = known;
    this.#onReject = onReject;
    this.#order = new TimeOrder(known.length, onReject);
  }

  get rows(): number {
    return this.#rows;
  }

  /** Share of the rows read so far, 0 to 1. */
  get share(): number {
    return this.#rowsInFile > 0 ? this.#rows / this.#rowsInFile : 0;
  }

  async *batches(): AsyncGenerator<ReadingBatch, void, undefined> {
    const duckDb = await openDuckDb();
    try {
      const columns = await this.#readable(() => this.#describe(duckDb.connection));
      const result = await this.#readable(() => duckDb.connection.stream(this.#query(columns)));
      let heardRows = 0;
      for (;;) {
        const chunk = await this.#readable(() => result.fetchChunk());
        if (chunk === null || chunk.rowCount === 0) break;
        this.#takeChunk(chunk, columns);
        const ready = this.#order.takeReady();
        yield* ready;
        if (ready.length === 0 && this.#rows - heardRows >= LONGEST_SILENCE_ROWS) yield NOTHING_YET;
        else if (ready.length === 0) continue;
        heardRows = this.#rows;
      }
      // A damaged page in the middle of a file may end the stream as its end does.
      if (this.#rows < this.#rowsInFile) {
        const detail = `of its ${String(this.#rowsInFile)} rows only ${String(this.#rows)} can be read`;
        throw recordingFault('recording-not-parquet', this.#path, detail);
      }
      this.#order.finish();
      yield* this.#order.takeReady();
    } finally {
      duckDb.close();
    }
  }

  async #describe(connection: DuckDBConnection): Promise<ParquetColumns> {
    const file = this.#file();
    const described = await connection.runAndReadAll(`SELECT column_name, column_type FROM (DESCRIBE FROM ${file})`);
    const types = new Map(described.getRows().map(([name, type]) => [asText(name).toLowerCase(), asText(type)]));
    const columns = chooseColumns(types);
    if (typeof columns === 'string') throw recordingFault('recording-columns', this.#path, columns);
    const counted = await connection.runAndReadAll(`SELECT count(*) FROM ${file}`);
    this.#rowsInFile = Number(counted.getRows()[0]?.[0] ?? 0);
    if (this.#rowsInFile === 0) throw recordingFault('recording-no-rows', this.#path);
    if (this.#known.length > 0) await connection.run(`CREATE TYPE known_signal AS ENUM (${this.#known.map(sqlText).join(', ')})`);
    return columns;
  }

  #query(columns: ParquetColumns): string {
    // The code of an enumeration is the index of the signal, and comes out at a multiple of the speed of its text.
    const code = 'coalesce(CAST(enum_code(TRY_CAST(CAST("signal" AS VARCHAR) AS known_signal)) AS INTEGER), -1)';
    const signal = this.#known.length > 0 ? code : '-1::INTEGER';
    return `SELECT ${columns.time.sql}, ${signal}, ${columns.value.sql} FROM ${this.#file()}`;
  }

  #file(): string {
    return `read_parquet(${sqlPath(resolve(this.#path))}, binary_as_string = true)`;
  }

  #takeChunk(chunk: DuckDBDataChunk, columns: ParquetColumns): void {
    const times = chunk.getColumnVector(0);
    const signals = chunk.getColumnVector(1);
    const values = chunk.getColumnVector(2);
    const perMs = columns.time.gives === 'microseconds' ? 1000 : 1;
    // Asked once: each time it is a call into the library.
    const { rowCount } = chunk;
    for (let i = 0; i < rowCount; i++) {
      const line = FIRST_LINE + this.#rows++;
      const time = times.getItem(i);
      const value = values.getItem(i);
      this.#takeRow(
        typeof time === 'number' ? wholeTime(time / perMs) : timeOf(time),
        signals.getItem(i) as number,
        typeof value === 'number' ? value : numberOf(value),
        line,
      );
    }
  }

  #takeRow(timeMs: number, signal: number, value: number, line: number): void {
    const finite = Number.isFinite(value);
    if (Number.isNaN(timeMs) || !finite) this.#onReject(line, 'unparsable');
    else if (signal < 0) this.#onReject(line, 'unknown-signal');
    if (signal >= 0 && !Number.isNaN(timeMs)) this.#order.add(timeMs, signal, finite ? value : NaN, line);
  }

  async #readable<T>(read: () => Promise<T>): Promise<T> {
    try {
      return await read();
    } catch (error) {
      if (error instanceof TakelineFault) throw error;
      // Behind the first line of it stands the query.
      throw recordingFault('recording-not-parquet', this.#path, messageOf(error).split('\n')[0]);
    }
  }
}

function asText(value: DuckDBValue | undefined): string {
  return typeof value === 'string' ? value : '';
}

function timeOf(text: DuckDBValue): number {
  return parseTime(asText(text).trim()) ?? NaN;
}

function numberOf(text: DuckDBValue): number {
  const bytes = Buffer.from(asText(text).trim());
  const number = parseDecimalBytes(bytes, 0, bytes.length);
  return Number.isNaN(number) ? parseTruthBytes(bytes, 0, bytes.length) : number;
}
