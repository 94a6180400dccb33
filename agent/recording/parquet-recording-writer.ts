import { mkdtemp, open, rm } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { DuckDBAppender } from '@duckdb/node-api';
import { openDuckDb, sqlText, type DuckDbSession } from './duckdb-session.js';
import { finishPart, partPath, removePart } from './part-file.js';
import { writeFault } from './recording-fault.js';
import type { RecordingWriter } from './recording-writer.js';

/** DuckDB's vectors hold so many rows. */
const ROWS_A_CHUNK = 2048;
/** One row group of a table, after which the rows leave memory for the working file. */
const CHUNKS_A_FLUSH = 60;

/**
 * Writes Parquet: rows gather in a working database beside the file, since a Parquet file is laid out by columns and only
 * its end says where they are; closing copies them out in order.
 */
export class ParquetRecordingWriter implements RecordingWriter {
  readonly #path: string;
  readonly #folder: string;
  readonly #duckDb: DuckDbSession;
  readonly #appender: DuckDBAppender;
  readonly #codes = new Map<string, number>();
  readonly #timeMs: number[] = [];
  readonly #signal: number[] = [];
  readonly #value: number[] = [];
  #chunks = 0;
  #over = false;

  private constructor(path: string, folder: string, duckDb: DuckDbSession, appender: DuckDBAppender) {
    this.#path = path;
    this.#folder = folder;
    this.#duckDb = duckDb;
    this.#appender = appender;
  }

  /** @throws TakelineFault where the place cannot be written to */
  static async create(path: string): Promise<ParquetRecordingWriter> {
    try {
      await (await open(partPath(path), 'w')).close();
      const folder = await mkdtemp(`${resolve(partPath(path))}-`);
      const duckDb = await openDuckDb(join(folder, 'rows.duckdb'));
      await duckDb.connection.run('CREATE TABLE rows (time_ms DOUBLE, code INTEGER, value DOUBLE)');
      return new ParquetRecordingWriter(path, folder, duckDb, await duckDb.connection.createAppender('rows'));
    } catch (error) {
      throw writeFault(path, error);
    }
  }

  write(timeMs: number, signal: string, value: number): Promise<void> | undefined {
    let code = this.#codes.get(signal);
    if (code === undefined) {
      code = this.#codes.size;
      this.#codes.set(signal, code);
    }
    this.#timeMs.push(Math.round(timeMs));
    this.#signal.push(code);
    this.#value.push(value);
    return this.#timeMs.length < ROWS_A_CHUNK ? undefined : this.#append();
  }

  async close(): Promise<void> {
    if (this.#over) return;
    this.#over = true;
    try {
      await this.#append();
      this.#appender.closeSync();
      await this.#copyOut();
      await this.#removeRows();
      await finishPart(this.#path);
    } catch (error) {
      await this.#remove();
      throw writeFault(this.#path, error);
    }
  }

  async discard(): Promise<void> {
    if (this.#over) return;
    this.#over = true;
    await this.#remove();
  }

  // Asynchronous in form alone: a failure has to come as the rejection that `write` promises.
  async #append(): Promise<void> {
    try {
      const { DOUBLE, DuckDBDataChunk, INTEGER } = this.#duckDb.duckDb;
      const chunk = DuckDBDataChunk.create([DOUBLE, INTEGER, DOUBLE]);
      chunk.setColumns([this.#timeMs, this.#signal, this.#value]);
      this.#appender.appendDataChunk(chunk);
      for (const column of [this.#timeMs, this.#signal, this.#value]) column.length = 0;
      if (++this.#chunks % CHUNKS_A_FLUSH === 0) this.#appender.flushSync();
      await Promise.resolve();
    } catch (error) {
      throw writeFault(this.#path, error);
    }
  }

  async #copyOut(): Promise<void> {
    const { connection } = this.#duckDb;
    await connection.run(`SET VARIABLE names = [${[...this.#codes.keys()].map(sqlText).join(', ')}]::VARCHAR[]`);
    const rows = `SELECT CAST(epoch_ms(CAST(time_ms AS BIGINT)) AS TIMESTAMPTZ) AS "time", getvariable('names')[code + 1] AS "signal", "value" FROM rows`;
    await connection.run(`COPY (${rows}) TO ${sqlText(resolve(partPath(this.#path)))} (FORMAT parquet, COMPRESSION zstd)`);
  }

  async #remove(): Promise<void> {
    await this.#removeRows();
    await removePart(this.#path);
  }

  async #removeRows(): Promise<void> {
    this.#duckDb.close();
    await rm(this.#folder, { recursive: true, force: true });
  }
}
