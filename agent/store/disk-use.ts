import type { Database, Statement } from 'better-sqlite3';

/** Readings of one kind, and about what they take. */
export interface ReadingsOnDisk {
  readonly readings: number;
  readonly bytes: number;
}

/** For how long history is kept, and how much of the disk it may take. */
export interface Retention {
  readonly rawDays: number;
  readonly minuteDays: number;
  /** Absent: as much as there is. */
  readonly maxBytes?: number;
}

/** What the store takes, by kind, in bytes. */
export interface DiskUse {
  /** All of it: the file and what SQLite keeps beside it. */
  readonly totalBytes: number;
  /** Of the file, room that things let go of and the next ones take. */
  readonly spareBytes: number;
  /** Raw readings of the most recent stretch, as they were journalled. */
  readonly journal: ReadingsOnDisk;
  /** Raw readings in blocks: the oldest go first. */
  readonly blocks: ReadingsOnDisk;
  /** Raw readings around alarms, findings and work, kept for good. */
  readonly recorder: ReadingsOnDisk;
  /** Minutes, hours, days, alarm events, findings, entries, the agent's state. */
  readonly figuresBytes: number;
  /** The oldest raw reading that is not kept for good; null where there is none. */
  readonly oldestMs: number | null;
  /** The oldest minute of any take-up; null where there is none. */
  readonly oldestMinuteMs: number | null;
  /** What the disk that the store lies on has left; null where it does not say. */
  readonly freeBytes: number | null;
  /** As the agent was last started; null where it has not been since this is kept. */
  readonly retention: Retention | null;
}

/** A row of a reading, its place in the tree of rows included (measured). */
const ROW_BYTES = 23;
/** What a block takes beside its bytes: its row, two indexes, and what of its last page stays empty (measured). */
const BLOCK_OVERHEAD = 400;

interface Blocks {
  readonly pinned: number;
  readonly readings: number;
  readonly bytes: number;
  readonly oldestMs: number;
}

/** Adds up what the store takes. */
export class DiskUseQuery {
  private readonly selectBlocks: Statement<[], Blocks>;
  private readonly selectRows: Statement<[], { readings: number | null; oldestMs: number | null }>;

  private readonly selectMinute: Statement<[], number | null>;
  private readonly selectRetention: Statement<[], { rawDays: number; minuteDays: number; maxBytes: number | null }>;

  constructor(private readonly db: Database) {
    // By the key of each take-up: looking through all the minutes would take minutes.
    this.selectMinute = db
      .prepare<[], number | null>('SELECT min((SELECT min(time_ms) FROM minute WHERE takeup_id = takeup.id)) FROM takeup')
      .pluck();
    this.selectRetention = db.prepare('SELECT raw_days AS rawDays, minute_days AS minuteDays, max_bytes AS maxBytes FROM retention');
    this.selectBlocks = db.prepare(
      `SELECT pinned, sum(count) AS readings, sum(size + ${BLOCK_OVERHEAD}) AS bytes, min(age_ms) AS oldestMs
       FROM reading_block INDEXED BY reading_block_age GROUP BY pinned`,
    );
    this.selectRows = db.prepare('SELECT sum(last_seq - first_seq + 1) AS readings, min(from_ms) AS oldestMs FROM reading_stretch');
  }

  /**
   * @param totalBytes - of the files
   * @param freeBytes - of the disk that they lie on; null where it does not say
   */
  read(totalBytes: number, freeBytes: number | null): DiskUse {
    const rows = this.selectRows.get();
    const journalled = rows?.readings ?? 0;
    const journal = { readings: journalled, bytes: journalled * ROW_BYTES };
    const groups = this.selectBlocks.all();
    const [blocks, recorder] = [ofGroup(groups, 0), ofGroup(groups, 1)];
    const used = usedBytes(this.db);
    const oldest = [rows?.oldestMs, groups.find(({ pinned }) => pinned === 0)?.oldestMs].filter((ms) => typeof ms === 'number');
    return {
      totalBytes,
      spareBytes: fileBytes(this.db) - used,
      journal,
      blocks,
      recorder,
      figuresBytes: Math.max(0, used - journal.bytes - blocks.bytes - recorder.bytes),
      oldestMs: oldest.length === 0 ? null : Math.min(...oldest),
      oldestMinuteMs: this.selectMinute.get() ?? null,
      freeBytes,
      retention: this.retention(),
    };
  }

  private retention(): Retention | null {
    const kept = this.selectRetention.get();
    if (kept === undefined) return null;
    const { maxBytes, ...days } = kept;
    return maxBytes === null ? days : { ...days, maxBytes };
  }
}

/** Bytes of the file that hold something. */
export function usedBytes(db: Database): number {
  return fileBytes(db) - numberOf(db, 'freelist_count') * numberOf(db, 'page_size');
}

function fileBytes(db: Database): number {
  return numberOf(db, 'page_count') * numberOf(db, 'page_size');
}

function numberOf(db: Database, pragma: string): number {
  return Number(db.pragma(pragma, { simple: true }));
}

function ofGroup(groups: readonly Blocks[], pinned: number): ReadingsOnDisk {
  const { readings = 0, bytes = 0 } = groups.find((group) => group.pinned === pinned) ?? {};
  return { readings, bytes };
}
