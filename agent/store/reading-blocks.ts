import type { Database, Statement } from 'better-sqlite3';
import { decodeReadings, encodeReadings, type SignalReadings } from './reading-codec.js';

/** A full block. More in one would hardly take fewer bytes, and would have to be undone for less. */
export const BLOCK_READINGS = 4096;
/** A clock may be so far off before a block's age is told by when its readings were taken. */
const CLOCK_OFF_MS = 86_400_000;

/** A block without what is in it. */
export interface BlockHead {
  readonly id: number;
  readonly signal: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly ageMs: number;
  readonly count: number;
  readonly pinned: number;
}

export interface Block extends BlockHead {
  readonly bytes: Uint8Array;
}

type NewBlock = Omit<BlockHead & { readonly size: number; readonly bytes: Uint8Array }, 'id'>;

/** What is selected for a `BlockHead`. */
export const HEAD_LIST = 'id, signal, from_ms AS fromMs, to_ms AS toMs, age_ms AS ageMs, count, pinned';
/** What is selected for a `Block`. */
export const BLOCK_LIST = `${HEAD_LIST}, bytes`;

/** Readings of one signal in compressed blocks, one behind the other in time. */
export class ReadingBlocks {
  private readonly ownerOf: Statement<[number, number], Block>;
  private readonly startAfter: Statement<[number, number, number], number>;
  private readonly add: Statement<[NewBlock]>;
  private readonly remove: Statement<[number]>;

  constructor(db: Database) {
    this.ownerOf = db.prepare(
      `SELECT ${BLOCK_LIST} FROM reading_block WHERE signal = ? AND from_ms <= ? ORDER BY from_ms DESC, to_ms DESC, id DESC LIMIT 1`,
    );
    this.startAfter = db
      .prepare<[number, number, number], number>(
        'SELECT from_ms FROM reading_block WHERE signal = ? AND from_ms > ? AND id <> ? ORDER BY from_ms LIMIT 1',
      )
      .pluck();
    this.add = db.prepare(
      `INSERT INTO reading_block (signal, from_ms, to_ms, age_ms, count, size, pinned, bytes)
       VALUES (@signal, @fromMs, @toMs, @ageMs, @count, @size, @pinned, @bytes)`,
    );
    this.remove = db.prepare('DELETE FROM reading_block WHERE id = ?');
  }

  /**
   * Puts readings where they belong in time, late ones among those that are there.
   *
   * @param readings - in the order in which they were taken
   * @param takenMs - about when that was
   */
  merge(signal: number, readings: SignalReadings, takenMs: number): void {
    const sorted = inOrder(readings);
    for (let from = 0; from < sorted.timeMs.length;) {
      const firstMs = sorted.timeMs[from] as number;
      const owner = this.ownerFor(signal, firstMs);
      const endMs = this.startAfter.get(signal, firstMs, owner?.id ?? 0) ?? Infinity;
      let to = from + 1;
      while (to < sorted.timeMs.length && (sorted.timeMs[to] as number) < endMs) to++;
      const piece = { timeMs: sorted.timeMs.subarray(from, to), value: sorted.value.subarray(from, to) };
      this.mergeInto(owner, signal, piece, takenMs);
      from = to;
    }
  }

  /** Replaces a block by pieces of it that are kept for good, or removes it. */
  replace(block: BlockHead, kept: readonly SignalReadings[]): void {
    this.remove.run(block.id);
    for (const readings of kept) this.put({ signal: block.signal, ageMs: block.ageMs, pinned: 1 }, readings);
  }

  /** The block that readings from a time on belong to; none where a new one begins. */
  private ownerFor(signal: number, timeMs: number): Block | undefined {
    const before = this.ownerOf.get(signal, timeMs);
    if (!before) return undefined;
    const pastPinned = before.pinned === 1 && timeMs > before.toMs;
    const pastFull = before.count >= BLOCK_READINGS && timeMs >= before.toMs;
    return pastPinned || pastFull ? undefined : before;
  }

  private mergeInto(owner: Block | undefined, signal: number, readings: SignalReadings, takenMs: number): void {
    const pinned = owner?.pinned ?? 0;
    const all = owner ? inOrder(joined(decodeReadings(owner.bytes), readings)) : readings;
    if (owner) this.remove.run(owner.id);
    for (let from = 0; from < all.timeMs.length; from += BLOCK_READINGS) {
      const piece = { timeMs: all.timeMs.subarray(from, from + BLOCK_READINGS), value: all.value.subarray(from, from + BLOCK_READINGS) };
      const toMs = piece.timeMs.at(-1) as number;
      const ageMs = Math.abs(toMs - takenMs) > CLOCK_OFF_MS ? takenMs : toMs;
      this.put({ signal, ageMs: Math.max(ageMs, owner?.ageMs ?? -Infinity), pinned }, piece);
    }
  }

  private put(of: Pick<BlockHead, 'signal' | 'ageMs' | 'pinned'>, readings: SignalReadings): void {
    const { timeMs } = readings;
    const bytes = encodeReadings(readings);
    const ends = { fromMs: timeMs[0] as number, toMs: timeMs.at(-1) as number };
    this.add.run({ ...of, ...ends, count: timeMs.length, size: bytes.length, bytes });
  }
}

/** In order of time; of one time in the order in which they were taken. */
function inOrder({ timeMs, value }: SignalReadings): SignalReadings {
  let ordered = true;
  for (let i = 1; i < timeMs.length && ordered; i++) ordered = (timeMs[i - 1] as number) <= (timeMs[i] as number);
  if (ordered) return { timeMs, value };
  const order = Uint32Array.from(timeMs.keys()).sort((a, b) => (timeMs[a] as number) - (timeMs[b] as number) || a - b);
  return { timeMs: Float64Array.from(order, (i) => timeMs[i] as number), value: Float64Array.from(order, (i) => value[i] as number) };
}

function joined(first: SignalReadings, second: SignalReadings): SignalReadings {
  return { timeMs: concat(first.timeMs, second.timeMs), value: concat(first.value, second.value) };
}

function concat(first: Float64Array, second: Float64Array): Float64Array {
  const all = new Float64Array(first.length + second.length);
  all.set(first);
  all.set(second, first.length);
  return all;
}
