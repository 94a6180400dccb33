import { createReadStream } from 'node:fs';
import { pipeline, type Readable } from 'node:stream';
import { createGunzip } from 'node:zlib';
import { readFault } from './recording-fault.js';

const CHUNK_BYTES = 1 << 20;

/** The bytes of a file chunk by chunk, unpacked where it is gzip. */
export class FileBytes implements AsyncIterable<Buffer> {
  readonly #path: string;
  readonly #gzip: boolean;
  #bytesRead = 0;

  constructor(path: string, gzip: boolean) {
    this.#path = path;
    this.#gzip = gzip;
  }

  /** Bytes of the file itself read so far. */
  get bytesRead(): number {
    return this.#bytesRead;
  }

  /** @throws TakelineFault where the file cannot be read, or its gzip data is damaged or ends too early */
  async *[Symbol.asyncIterator](): AsyncGenerator<Buffer, void, undefined> {
    const file = createReadStream(this.#path, { highWaterMark: CHUNK_BYTES });
    let bytes: Readable = file;
    if (this.#gzip) {
      const gunzip = createGunzip({ chunkSize: CHUNK_BYTES });
      // The iteration below hears of a failure of either stream; the callback keeps it from being thrown a second time.
      pipeline(file, gunzip, () => undefined);
      bytes = gunzip;
    }
    try {
      for await (const chunk of bytes as AsyncIterable<Buffer>) {
        this.#bytesRead = file.bytesRead;
        yield chunk;
      }
    } catch (error) {
      throw readFault(this.#path, error);
    }
  }
}
