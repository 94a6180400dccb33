import { findColumns } from './csv-columns.js';
import { readCsvRecord } from './csv-record.js';
import { CsvScanner } from './csv-scanner.js';
import { NOTHING_YET, type OnReject, type ReadingBatch } from './reading-batch.js';
import { recordingFault } from './recording-fault.js';
import type { RecordingSource } from './recording-source.js';
import type { SignalNames } from './signal-names.js';
import { TimeOrder } from './time-order.js';

const NEWLINE = 0x0a;
const RETURN = 0x0d;
const BYTE_ORDER_MARK = [0xef, 0xbb, 0xbf] as const;

/** After so many bytes without a reading whoever waits for them is given a chance to look up. */
const LONGEST_SILENCE_BYTES = 1 << 24;

/** A CSV recording, from whatever gives its bytes. */
export class CsvSource implements RecordingSource {
  readonly #path: string;
  readonly #chunks: AsyncIterable<Buffer>;
  readonly #names: SignalNames;
  readonly #onReject: OnReject;
  #scanner: CsvScanner | undefined;
  /** At which the header is looked for. */
  #headerLine = 1;

  /**
   * @param path - what faults call it
   * @param chunks - its bytes, cut anywhere
   */
  constructor(path: string, chunks: AsyncIterable<Buffer>, names: SignalNames, onReject: OnReject) {
    this.#path = path;
    this.#chunks = chunks;
    this.#names = names;
    this.#onReject = onReject;
  }

  get rows(): number {
    return this.#scanner?.rows ?? 0;
  }

  async *batches(): AsyncGenerator<ReadingBatch, void, undefined> {
    const order = new TimeOrder(this.#names.count, this.#onReject);
    let carried: Buffer = Buffer.alloc(0);
    let silentBytes = 0;
    for await (const chunk of this.#chunks) {
      carried = this.#scanChunk(carried, chunk, order);
      const ready = order.takeReady();
      yield* ready;
      silentBytes = ready.length > 0 ? 0 : silentBytes + chunk.length;
      if (silentBytes < LONGEST_SILENCE_BYTES) continue;
      yield NOTHING_YET;
      silentBytes = 0;
    }
    // A last line may lack its line break; one more than needed is a blank line.
    this.#scan(Buffer.concat([carried, Buffer.of(NEWLINE)]), order, true);
    if (this.rows === 0) throw recordingFault('recording-no-rows', this.#path);
    order.finish();
    yield* order.takeReady();
  }

  /**
   * Reads `carried` and `chunk` as one. Only the record that spans the two is copied together.
   *
   * @returns what is left: the beginning of a record that goes on in the next chunk
   */
  #scanChunk(carried: Buffer, chunk: Buffer, order: TimeOrder): Buffer {
    const seam = chunk.indexOf(NEWLINE) + 1;
    const spanning = Buffer.concat([carried, chunk.subarray(0, seam)]);
    const left = spanning.subarray(seam > 0 ? this.#scan(spanning, order, false) : 0);
    // Something is left where there was no line break in the chunk, or the one found stands within quotes.
    const rest = left.length > 0 ? Buffer.concat([left, chunk.subarray(seam)]) : chunk.subarray(seam);
    return Buffer.from(rest.subarray(this.#scan(rest, order, false)));
  }

  /** @returns offset of the first byte not consumed */
  #scan(bytes: Buffer, order: TimeOrder, last: boolean): number {
    const from = this.#scanner === undefined ? this.#readHeader(bytes, order, last) : 0;
    return this.#scanner?.scan(bytes, from, bytes.length, last) ?? from;
  }

  /** @returns offset of the first row, or of the header where more bytes are needed to see it whole */
  #readHeader(bytes: Buffer, order: TimeOrder, last: boolean): number {
    let at = BYTE_ORDER_MARK.every((byte, i) => bytes[i] === byte) ? BYTE_ORDER_MARK.length : 0;
    for (; bytes[at] === NEWLINE || (bytes[at] === RETURN && bytes[at + 1] === NEWLINE); this.#headerLine++) {
      at += bytes[at] === RETURN ? 2 : 1;
    }
    if (at === bytes.length && last) throw recordingFault('recording-empty', this.#path);
    const record = readCsvRecord(bytes, at, bytes.length);
    if (record === 'unfinished' && !last) return at;
    if (typeof record === 'string') throw recordingFault('recording-no-header', this.#path, 'its first line is no line of CSV');
    const columns = findColumns(record.fields);
    if (typeof columns === 'string') throw recordingFault('recording-no-header', this.#path, columns);
    this.#scanner = new CsvScanner(columns, this.#names, order, this.#onReject, this.#headerLine + record.lines);
    return record.next;
  }
}
