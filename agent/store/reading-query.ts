import type { Database, Statement, Transaction } from 'better-sqlite3';
import type { ReadingColumns } from './journal.js';
import { type BlockHead, HEAD_LIST } from './reading-blocks.js';
import { decodeReadings, type SignalReadings } from './reading-codec.js';
import type { ReadingRow } from './reading-rows.js';

/** A stretch of time is made so long that about so many readings lie in it. */
const READINGS_AT_A_TIME = 10_000;
const FIRST_STRETCH_MS = 60_000;
const LONGEST_STRETCH_MS = 7 * 86_400_000;

interface Range {
  readonly fromMs: number;
  readonly toMs: number;
}

interface RangeOf extends Range {
  /** Ids of the signals, as a JSON list. */
  readonly ids: string;
}

type NextOf = Omit<RangeOf, 'toMs'>;
type Row = readonly [timeMs: number, signal: number, value: number];

/**
 * Finds readings by time, in rows and in blocks. It goes through stretches of time, each looked at in one moment of the store: while
 * the agent moves rows into blocks every reading is found once.
 */
export class ReadingQuery {
  private readonly findSignal: Statement<[string], number>;
  private readonly selectRows: Statement<[RangeOf], ReadingRow>;
  private readonly selectBlocks: Statement<[RangeOf], BlockHead>;
  private readonly selectBytes: Statement<[number], Uint8Array>;
  private readonly nextBlock: Statement<[NextOf], number | null>;
  private readonly nextRow: Statement<[Pick<Range, 'fromMs'>], number | null>;
  private readonly lookAt: Transaction<(range: RangeOf, places: ReadonlyMap<number, number>, opened: OpenedBlocks) => Row[]>;

  constructor(db: Database) {
    this.findSignal = db.prepare<[string], number>('SELECT id FROM signal WHERE name = ?').pluck();
    this.selectRows = db
      .prepare<[RangeOf], ReadingRow>(
        `SELECT seq, signal, time_ms, value
         FROM reading_stretch CROSS JOIN reading ON seq BETWEEN first_seq AND last_seq
         WHERE from_ms < @toMs AND to_ms >= @fromMs AND time_ms >= @fromMs AND time_ms < @toMs
           AND signal IN (SELECT value FROM json_each(@ids))
           AND seq > ifnull((SELECT moved.seq FROM reading_moved moved WHERE moved.signal = reading.signal), 0)
         ORDER BY first_seq, seq`,
      )
      .raw();
    // A block that begins before the stretch may reach into it: only the last one that does can, since they lie one behind the other.
    this.selectBlocks = db.prepare(
      `SELECT ${HEAD_LIST} FROM (SELECT value AS wanted FROM json_each(@ids)) CROSS JOIN reading_block ON signal = wanted
       WHERE from_ms < @toMs AND to_ms >= @fromMs
         AND from_ms >= ifnull((SELECT max(b.from_ms) FROM reading_block b WHERE b.signal = wanted AND b.from_ms < @fromMs), @fromMs)
       ORDER BY signal, from_ms, to_ms, id`,
    );
    this.selectBytes = db.prepare<[number], Uint8Array>('SELECT bytes FROM reading_block WHERE id = ?').pluck();
    this.nextBlock = db
      .prepare<[NextOf], number | null>(
        `SELECT min((SELECT min(from_ms) FROM reading_block WHERE signal = value AND from_ms >= @fromMs)) FROM json_each(@ids)`,
      )
      .pluck();
    this.nextRow = db
      .prepare<[Pick<Range, 'fromMs'>], number | null>('SELECT min(max(from_ms, @fromMs)) FROM reading_stretch WHERE to_ms >= @fromMs')
      .pluck();
    this.lookAt = db.transaction((range: RangeOf, places: ReadonlyMap<number, number>, opened: OpenedBlocks) => {
      const found: Row[] = [];
      for (const head of this.selectBlocks.all(range)) {
        takeBlock(opened.of(head, this.selectBytes), places.get(head.signal) as number, range, found);
      }
      for (const [, signal, timeMs, value] of this.selectRows.all(range)) {
        found.push([timeMs, places.get(signal) as number, value ?? NaN]);
      }
      return found;
    });
  }

  /** Ids of the signals that the journal knows, with their places in `names`. */
  placesOf(names: readonly string[]): ReadonlyMap<number, number> {
    const places = new Map<number, number>();
    names.forEach((name, index) => {
      const id = this.findSignal.get(name);
      if (id !== undefined) places.set(id, index);
    });
    return places;
  }

  /** What lies in the range, a stretch at a time, in order of time. */
  *stretches(places: ReadonlyMap<number, number>, { fromMs, toMs }: Range): Generator<ReadingColumns> {
    const ids = JSON.stringify([...places.keys()]);
    const opened = new OpenedBlocks();
    let lengthMs = FIRST_STRETCH_MS;
    for (let at = fromMs; at < toMs;) {
      const end = Math.min(at + lengthMs, toMs);
      const found = this.lookAt({ ids, fromMs: at, toMs: end }, places, opened);
      opened.forget(end);
      if (found.length > 0) yield columnsOf(found.sort(([a], [b]) => a - b));
      at = found.length > 0 || opened.any ? end : Math.max(end, this.nextFrom(ids, end));
      lengthMs = nextLength(lengthMs, found.length);
    }
  }

  /** Where readings are next, so that years without any are passed over in one step. */
  private nextFrom(ids: string, fromMs: number): number {
    return Math.min(this.nextBlock.get({ ids, fromMs }) ?? Infinity, this.nextRow.get({ fromMs }) ?? Infinity);
  }
}

/** Blocks that reach beyond the stretch in which they were opened. */
class OpenedBlocks {
  private readonly opened = new Map<string, { readonly toMs: number; readonly readings: SignalReadings }>();

  of(head: BlockHead, bytes: Statement<[number], Uint8Array>): SignalReadings {
    const key = `${head.id}/${head.count}`;
    const known = this.opened.get(key);
    if (known) return known.readings;
    const readings = decodeReadings(bytes.get(head.id) as Uint8Array);
    this.opened.set(key, { toMs: head.toMs, readings });
    return readings;
  }

  get any(): boolean {
    return this.opened.size > 0;
  }

  /** Lets go of what ends before a time. */
  forget(beforeMs: number): void {
    for (const [key, { toMs }] of this.opened) if (toMs < beforeMs) this.opened.delete(key);
  }
}

function takeBlock({ timeMs, value }: SignalReadings, place: number, { fromMs, toMs }: Range, into: Row[]): void {
  for (let i = firstFrom(timeMs, fromMs); i < timeMs.length && (timeMs[i] as number) < toMs; i++) {
    into.push([timeMs[i] as number, place, value[i] as number]);
  }
}

/** The first place whose time is not before the one given. */
function firstFrom(timeMs: Float64Array, fromMs: number): number {
  let [low, high] = [0, timeMs.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((timeMs[middle] as number) < fromMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

function nextLength(lengthMs: number, found: number): number {
  const wanted = found === 0 ? lengthMs * 4 : (lengthMs * READINGS_AT_A_TIME) / found;
  return Math.max(1000, Math.min(LONGEST_STRETCH_MS, lengthMs * 4, wanted));
}

function columnsOf(rows: readonly Row[]): ReadingColumns {
  return {
    count: rows.length,
    signal: Int32Array.from(rows, ([, place]) => place),
    timeMs: Float64Array.from(rows, ([timeMs]) => timeMs),
    value: Float64Array.from(rows, ([, , value]) => value),
  };
}
