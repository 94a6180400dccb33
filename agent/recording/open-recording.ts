import { open, type FileHandle } from 'node:fs/promises';
import { CsvSource } from './csv-source.js';
import { FileBytes } from './file-bytes.js';
import { ParquetSource } from './parquet-source.js';
import type { OnReject, ReadingBatch } from './reading-batch.js';
import { readFault, recordingFault } from './recording-fault.js';
import type { RecordingSource } from './recording-source.js';
import { SignalNames } from './signal-names.js';

const GZIP_MAGIC = Buffer.of(0x1f, 0x8b);
const PARQUET_MAGIC = Buffer.from('PAR1');

/** A recording being read, once, from its beginning to its end. */
export interface Recording extends AsyncIterable<ReadingBatch> {
  /** Data rows met so far, taken or not; after the last batch, all of the file's. */
  readonly rows: number;
  /** Share of the file read so far, 0 to 1, for progress. */
  readonly share: number;
}

/**
 * Reads a recording (contracts §2) in order of time.
 *
 * @param path - CSV, `.csv.gz` or Parquet: by its name, else by its first bytes
 * @param known - names of the site's signals; batches refer to them by index
 * @param onReject - hears of every row not taken, once each
 * @throws TakelineFault while iterating, where the file as a whole is no recording: missing, empty, without header or rows,
 *   cut short. It may come at the very end, so nothing should be written before the iteration is over.
 */
export function openRecording(path: string, known: readonly string[], onReject: OnReject): Recording {
  return new RecordingReader(path, known, onReject);
}

class RecordingReader implements Recording {
  readonly #path: string;
  readonly #known: readonly string[];
  readonly #onReject: OnReject;
  #source: RecordingSource | undefined;
  #share = () => 0;

  constructor(path: string, known: readonly string[], onReject: OnReject) {
    this.#path = path;
    this.#known = known;
    this.#onReject = onReject;
  }

  get rows(): number {
    return this.#source?.rows ?? 0;
  }

  get share(): number {
    return Math.min(1, this.#share());
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<ReadingBatch, void, undefined> {
    const source = this.#choose(await readStart(this.#path));
    this.#source = source;
    yield* source.batches();
  }

  #choose({ size, magic }: FileStart): RecordingSource {
    const name = this.#path.toLowerCase();
    if (size === 0) throw recordingFault('recording-empty', this.#path);
    const parquet = magic.equals(PARQUET_MAGIC);
    if (name.endsWith('.parquet') && !parquet) {
      throw recordingFault('recording-not-parquet', this.#path, 'it does not begin as one');
    }
    if (parquet) return this.#parquet();
    const gzip = magic.subarray(0, GZIP_MAGIC.length).equals(GZIP_MAGIC);
    if (name.endsWith('.gz') && !gzip) throw recordingFault('recording-not-gzip', this.#path, 'it does not begin as gzip does');
    return this.#csv(gzip, size);
  }

  #parquet(): RecordingSource {
    const source = new ParquetSource(this.#path, this.#known, this.#onReject);
    this.#share = () => source.share;
    return source;
  }

  #csv(gzip: boolean, size: number): RecordingSource {
    const bytes = new FileBytes(this.#path, gzip);
    this.#share = () => bytes.bytesRead / size;
    return new CsvSource(this.#path, bytes, new SignalNames(this.#known), this.#onReject);
  }
}

interface FileStart {
  readonly size: number;
  readonly magic: Buffer;
}

async function readStart(path: string): Promise<FileStart> {
  let file: FileHandle | undefined;
  try {
    file = await open(path, 'r');
    const { size } = await file.stat();
    const { buffer, bytesRead } = await file.read(Buffer.alloc(PARQUET_MAGIC.length), 0, PARQUET_MAGIC.length, 0);
    return { size, magic: buffer.subarray(0, bytesRead) };
  } catch (error) {
    throw readFault(path, error);
  } finally {
    await file?.close();
  }
}
