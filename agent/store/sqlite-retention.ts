import type { Database, Statement, Transaction } from 'better-sqlite3';
import { usedBytes } from './disk-use.js';
import { type Block, BLOCK_LIST, ReadingBlocks } from './reading-blocks.js';
import { decodeReadings, type SignalReadings } from './reading-codec.js';
import { RecorderQuery, type Window } from './recorder-query.js';

/** What goes at once: a few ms. */
const BLOCKS_AT_A_TIME = 20;
/** No more goes than room is wanted for. */
const BLOCKS_FOR_ROOM = 3;
const MINUTES_AT_A_TIME = 2000;

/** Lets old history go: raw readings but for those around what happened, then minutes; never days, events and entries. */
export class SqliteRetention {
  private readonly blocks: ReadingBlocks;
  private readonly recorder: RecorderQuery;
  private readonly nameOf: Statement<[number], string>;
  private readonly selectOld: Statement<[number, number, number], Block>;
  private readonly takeups: Statement<[], number>;
  private readonly dropMinutes: Statement<[number, number, number]>;
  private readonly warmSignals: Statement<[], number>;
  private readonly dropWarmth: Statement<[number, number, number]>;
  private readonly oldestMinute: Statement<[], number | null>;
  private readonly dropOldBlocks: Transaction<(beforeMs: number, most: number) => number>;
  private readonly dropPinned: Transaction<() => number>;

  constructor(private readonly db: Database) {
    this.blocks = new ReadingBlocks(db);
    this.recorder = new RecorderQuery(db);
    this.nameOf = db.prepare<[number], string>('SELECT name FROM signal WHERE id = ?').pluck();
    this.selectOld = db.prepare(
      `SELECT ${BLOCK_LIST} FROM reading_block INDEXED BY reading_block_age
       WHERE pinned = ? AND age_ms < ? ORDER BY age_ms LIMIT ?`,
    );
    this.takeups = db.prepare<[], number>('SELECT id FROM takeup').pluck();
    this.dropMinutes = db.prepare(oldest('minute', 'takeup_id'));
    this.warmSignals = db.prepare<[], number>("SELECT id FROM signal WHERE name LIKE '%/temperature'").pluck();
    this.dropWarmth = db.prepare(oldest('temperature_minute', 'signal'));
    this.oldestMinute = db
      .prepare<[], number | null>('SELECT min((SELECT min(time_ms) FROM minute WHERE takeup_id = takeup.id)) FROM takeup')
      .pluck();
    this.dropOldBlocks = db.transaction((beforeMs: number, most: number) => this.dropBlocks(beforeMs, most));
    this.dropPinned = db.transaction(() => this.removed(this.selectOld.all(1, Number.MAX_SAFE_INTEGER, BLOCKS_FOR_ROOM)));
  }

  /** @returns how many readings were looked at, kept or not; 0 where nothing is that old */
  trimBlocks(beforeMs: number): number {
    return this.dropOldBlocks.immediate(beforeMs, BLOCKS_AT_A_TIME);
  }

  /** @returns how many minutes went */
  trimMinutes(beforeMs: number): number {
    for (const takeup of this.takeups.all()) {
      const { changes } = this.dropMinutes.run(takeup, beforeMs, takeup);
      if (changes > 0) return changes;
    }
    for (const signal of this.warmSignals.all()) {
      const { changes } = this.dropWarmth.run(signal, beforeMs, signal);
      if (changes > 0) return changes;
    }
    return 0;
  }

  /**
   * Lets the oldest go, a few at a time, where the store holds more than so many bytes: raw readings first, then minutes, and only
   * then raw readings that were to be kept for good.
   *
   * @returns whether something went and there may be more to do
   */
  makeRoom(maxBytes: number): boolean {
    if (usedBytes(this.db) <= maxBytes) return false;
    if (this.dropOldBlocks.immediate(Number.MAX_SAFE_INTEGER, BLOCKS_FOR_ROOM) > 0) return true;
    const oldest = this.oldestMinute.get();
    if (typeof oldest === 'number' && this.trimMinutes(oldest + MINUTES_AT_A_TIME * 60_000) > 0) return true;
    return this.dropPinned.immediate() > 0;
  }

  private dropBlocks(beforeMs: number, most: number): number {
    const old = this.selectOld.all(0, beforeMs, most);
    for (const block of old) this.blocks.replace(block, this.keptOf(block));
    return old.reduce((sum, { count }) => sum + count, 0);
  }

  private removed(blocks: readonly Block[]): number {
    for (const block of blocks) this.blocks.replace(block, []);
    return blocks.length;
  }

  /** The pieces of a block that are kept for good. */
  private keptOf(block: Block): readonly SignalReadings[] {
    const windows = joined(this.recorder.windows(this.nameOf.get(block.signal) ?? '', block));
    if (windows.length === 0) return [];
    const { timeMs, value } = decodeReadings(block.bytes);
    return windows
      .map(({ fromMs, toMs }) => {
        const [from, to] = [placeOf(timeMs, fromMs), placeOf(timeMs, toMs + 1)];
        return { timeMs: timeMs.subarray(from, to), value: value.subarray(from, to) };
      })
      .filter((piece) => piece.timeMs.length > 0);
  }
}

/** Lets the oldest rows of one owner go, so many at once. */
function oldest(table: string, owner: string): string {
  return `DELETE FROM ${table} WHERE ${owner} = ? AND time_ms <
    min(?, ifnull((SELECT time_ms FROM ${table} WHERE ${owner} = ? ORDER BY time_ms LIMIT 1 OFFSET ${MINUTES_AT_A_TIME}), 9e15))`;
}

/** Windows in order of their start, those that touch made one. */
function joined(windows: readonly Window[]): readonly Window[] {
  const all: { fromMs: number; toMs: number }[] = [];
  for (const { fromMs, toMs } of windows) {
    const last = all.at(-1);
    if (last && fromMs <= last.toMs + 1) last.toMs = Math.max(last.toMs, toMs);
    else all.push({ fromMs, toMs });
  }
  return all;
}

/** How many of the times lie before one. */
function placeOf(timeMs: Float64Array, beforeMs: number): number {
  const at = timeMs.findIndex((time) => time >= beforeMs);
  return at < 0 ? timeMs.length : at;
}
