import { createReadStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline, Readable } from 'node:stream';
import { createGzip } from 'node:zlib';
import { createRecordingWriter } from '../recording/create-recording-writer.js';
import { HEADER, RowText } from '../recording/row-text.js';
import type { StoreReader } from '../store/store.js';

/** What is exported: raw readings of a stretch of time, of one take-up or of all. */
export interface ExportQuery {
  readonly fromMs: number;
  readonly toMs: number;
  readonly conveyor?: string;
  readonly takeup?: string;
}

export type ExportForm = 'csv' | 'csv.gz' | 'parquet';

type Reader = Pick<StoreReader, 'readings' | 'signalNames' | 'stop'>;

/** Hears how far it is, 0…1, and whether to go on is asked of it. */
export interface ExportWatch {
  readonly onProgress?: (share: number, timeMs: number) => void;
  readonly signal?: AbortSignal;
}

/**
 * Writes raw readings as a recording that `takeline replay` takes, in memory that does not grow with it.
 *
 * @returns how many rows were written; with none there is no file
 * @throws TakelineFault where store or file cannot be used; an AbortError where the watch says so. Then no file is left
 */
export async function exportToFile(reader: Reader, query: ExportQuery, path: string, watch: ExportWatch = {}): Promise<number> {
  const names = namesFor(await reader.signalNames(), query);
  const writer = await createRecordingWriter(path);
  let rows = 0;
  try {
    for await (const { count, signal, timeMs, value } of reader.readings(names, query.fromMs, query.toMs)) {
      watch.signal?.throwIfAborted();
      for (let i = 0; i < count; i++) {
        const full = writer.write(timeMs[i] as number, names[signal[i] as number] as string, value[i] as number);
        if (full) await full;
      }
      rows += count;
      const atMs = timeMs[count - 1] as number;
      watch.onProgress?.((atMs - query.fromMs) / Math.max(1, query.toMs - query.fromMs), atMs);
    }
    if (rows > 0) await writer.close();
    else await writer.discard();
  } catch (error) {
    await writer.discard();
    throw error;
  }
  return rows;
}

/**
 * The same as bytes for whoever fetches them: text as it is read, Parquet once it is whole, since only its end says where things are.
 * The reader is let go with the stream, however it ends.
 */
export async function exportStream(reader: Reader, query: ExportQuery, form: ExportForm): Promise<Readable> {
  if (form === 'parquet') return parquetStream(reader, query);
  const text = Readable.from(textOf(reader, query), { objectMode: false });
  // What goes wrong on the way ends the stream that is given out.
  return form === 'csv' ? text : pipeline(text, createGzip(), () => undefined);
}

async function* textOf(reader: Reader, query: ExportQuery): AsyncGenerator<string> {
  try {
    const names = namesFor(await reader.signalNames(), query);
    const rows = new RowText();
    yield HEADER;
    for await (const { count, signal, timeMs, value } of reader.readings(names, query.fromMs, query.toMs)) {
      let text = '';
      for (let i = 0; i < count; i++) text += rows.of(timeMs[i] as number, names[signal[i] as number] as string, value[i] as number);
      yield text;
    }
  } finally {
    await reader.stop();
  }
}

async function parquetStream(reader: Reader, query: ExportQuery): Promise<Readable> {
  const folder = await mkdtemp(join(tmpdir(), 'takeline-export-'));
  const remove = () => rm(folder, { recursive: true, force: true });
  try {
    const path = join(folder, 'readings.parquet');
    await exportToFile(reader, query, path);
    const stream = createReadStream(path);
    stream.once('close', () => void remove());
    return stream;
  } catch (error) {
    await remove();
    throw error;
  } finally {
    await reader.stop();
  }
}

/** Of a take-up: its own signals, and those of its conveyor that a replay of it needs. */
function namesFor(names: readonly string[], { conveyor, takeup }: ExportQuery): readonly string[] {
  if (conveyor === undefined) return names;
  return names.filter((name) => {
    const [first, second, ...rest] = name.split('/');
    return first === conveyor && (takeup === undefined || rest.length < 2 || second === takeup);
  });
}
