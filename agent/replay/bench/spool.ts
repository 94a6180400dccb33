import { closeSync, openSync, readSync, writeSync } from 'node:fs';
import { freeBytesAt, hasRoom, type FreeBytes } from '../../process/disk-room.js';
import { TakelineFault } from '../../process/fault.js';
import { sayWhy } from '../../process/say-why.js';

/** Rows of a block: enough to be quick, little enough that going back to one is not felt. */
const BLOCK_ROWS = 8192;
const ROW_BYTES = 20;
/** The disk is looked at every so many blocks: some 10 MB. */
const BLOCKS_A_LOOK = 64;

/** Readings as columns; only the first `count` rows are meant. */
export interface SpoolBlock {
  readonly count: number;
  readonly timeMs: Float64Array;
  readonly value: Float64Array;
  readonly signal: Int32Array;
}

interface BlockPlace {
  readonly offset: number;
  readonly count: number;
  readonly firstMs: number;
  readonly lastMs: number;
}

/**
 * The readings of a recording in order of time, in a file of our own: so that any instant can be gone back to, whatever form the
 * recording has, in memory that does not grow with it.
 */
export class Spool {
  private readonly file: number;
  private readonly places: BlockPlace[] = [];
  private readonly bytes = Buffer.alloc(BLOCK_ROWS * ROW_BYTES);
  private readonly waiting = emptyBlock();
  private readonly lent = emptyBlock();
  private waitingCount = 0;
  private offset = 0;
  /** Readings in it. */
  count = 0;

  /**
   * @param free - tells how much of the disk is free
   * @throws TakelineFault where the place cannot be written to
   */
  constructor(
    private readonly path: string,
    private readonly free: FreeBytes = freeBytesAt,
  ) {
    try {
      this.file = openSync(path, 'w+');
    } catch (error) {
      throw notWritten(path, sayWhy(error));
    }
  }

  get blocks(): number {
    return this.places.length;
  }

  get firstMs(): number {
    return this.places[0]?.firstMs ?? NaN;
  }

  get lastMs(): number {
    return this.places.at(-1)?.lastMs ?? NaN;
  }

  /** Adds readings in order of time. @throws TakelineFault where the disk is full, or nearly */
  add({ count, timeMs, value, signal }: SpoolBlock): void {
    for (let i = 0; i < count; i++) {
      const at = this.waitingCount++;
      this.waiting.timeMs[at] = timeMs[i] as number;
      this.waiting.value[at] = value[i] as number;
      this.waiting.signal[at] = signal[i] as number;
      if (this.waitingCount === BLOCK_ROWS) this.flush();
    }
  }

  /** No more readings come. */
  finish(): void {
    if (this.waitingCount > 0) this.flush();
  }

  /** Reads a block; what is given holds until the next one is read. */
  read(index: number): SpoolBlock {
    const { offset, count } = this.places[index] as BlockPlace;
    const size = count * ROW_BYTES;
    if (readSync(this.file, this.bytes, 0, size, offset) !== size) throw new Error(`${this.path} was cut short`);
    for (const [column, from, length] of columnsOf(this.lent, count)) bytesOf(column).set(this.bytes.subarray(from, from + length));
    return { count, ...this.lent };
  }

  /** The last block that begins before a time, or the first. */
  blockBefore(timeMs: number): number {
    let low = 0;
    let high = this.places.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if ((this.places[middle] as BlockPlace).firstMs < timeMs) low = middle + 1;
      else high = middle;
    }
    return Math.max(0, low - 1);
  }

  close(): void {
    closeSync(this.file);
  }

  private flush(): void {
    const count = this.waitingCount;
    const { timeMs } = this.waiting;
    if (this.places.length % BLOCKS_A_LOOK === 0 && !hasRoom(this.path, this.free)) throw notWritten(this.path, 'the disk is nearly full');
    for (const [column, from, size] of columnsOf(this.waiting, count)) this.bytes.set(bytesOf(column).subarray(0, size), from);
    try {
      writeSync(this.file, this.bytes, 0, count * ROW_BYTES, this.offset);
    } catch (error) {
      throw notWritten(this.path, sayWhy(error));
    }
    this.places.push({ offset: this.offset, count, firstMs: timeMs[0] as number, lastMs: timeMs[count - 1] as number });
    this.offset += count * ROW_BYTES;
    this.count += count;
    this.waitingCount = 0;
  }
}

type Columns = Omit<SpoolBlock, 'count'>;

function emptyBlock(): Columns {
  return { timeMs: new Float64Array(BLOCK_ROWS), value: new Float64Array(BLOCK_ROWS), signal: new Int32Array(BLOCK_ROWS) };
}

/** Each column, where it begins among the bytes of a block, and its length in bytes. */
function columnsOf({ timeMs, value, signal }: Columns, count: number): readonly (readonly [Float64Array | Int32Array, number, number])[] {
  return [
    [timeMs, 0, 8 * count],
    [value, 8 * count, 8 * count],
    [signal, 16 * count, 4 * count],
  ];
}

function bytesOf({ buffer, byteOffset, byteLength }: Float64Array | Int32Array): Uint8Array {
  return new Uint8Array(buffer, byteOffset, byteLength);
}

function notWritten(path: string, why: string): TakelineFault {
  return new TakelineFault(
    'bench-disk',
    `The recording cannot be laid out for the bench (${why}: ${path}); make room, or take a shorter one.`,
  );
}
