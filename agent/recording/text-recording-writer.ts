import { once } from 'node:events';
import { open } from 'node:fs/promises';
import type { Writable } from 'node:stream';
import { finished, pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { finishPart, partPath, removePart } from './part-file.js';
import { writeFault } from './recording-fault.js';
import type { RecordingWriter } from './recording-writer.js';
import { HEADER, RowText } from './row-text.js';

/** Rows gathered into one write. */
const ROWS_A_WRITE = 4096;

/** Writes CSV, plain or through gzip. */
export class TextRecordingWriter implements RecordingWriter {
  readonly #path: string;
  readonly #stream: Writable;
  /** Ends when all bytes are in the part file, or what that failed with. */
  readonly #written: Promise<unknown>;
  readonly #rows = new RowText();
  #text = HEADER;
  #gathered = 0;
  #over = false;

  private constructor(path: string, stream: Writable, written: Promise<unknown>) {
    this.#path = path;
    this.#stream = stream;
    this.#written = written;
    // Whoever writes or closes next hears of a failure; until then it must not count as unheard.
    written.catch(() => undefined);
  }

  /** @throws TakelineFault where the place cannot be written to */
  static async create(path: string, gzip: boolean): Promise<TextRecordingWriter> {
    try {
      const file = (await open(partPath(path), 'w')).createWriteStream();
      if (!gzip) return new TextRecordingWriter(path, file, finished(file));
      const deflate = createGzip();
      return new TextRecordingWriter(path, deflate, pipeline(deflate, file));
    } catch (error) {
      throw writeFault(path, error);
    }
  }

  write(timeMs: number, signal: string, value: number): Promise<void> | undefined {
    this.#text += this.#rows.of(timeMs, signal, value);
    return ++this.#gathered < ROWS_A_WRITE ? undefined : this.#flush();
  }

  async close(): Promise<void> {
    if (this.#over) return;
    this.#over = true;
    try {
      await this.#flush();
      this.#stream.end();
      await this.#written;
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

  #flush(): Promise<void> | undefined {
    if (this.#stream.destroyed) return this.#failed();
    const goesOn = this.#stream.write(this.#text);
    this.#text = '';
    this.#gathered = 0;
    return goesOn ? undefined : this.#drained();
  }

  async #drained(): Promise<void> {
    try {
      await Promise.race([once(this.#stream, 'drain'), this.#written]);
    } catch (error) {
      throw writeFault(this.#path, error);
    }
  }

  async #failed(): Promise<void> {
    try {
      await this.#written;
    } catch (error) {
      throw writeFault(this.#path, error);
    }
  }

  async #remove(): Promise<void> {
    this.#stream.destroy();
    await this.#written.catch(() => undefined);
    await removePart(this.#path);
  }
}
