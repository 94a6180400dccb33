import type { Statement } from 'better-sqlite3';
import type { Retention } from './disk-use.js';
import type { OutputBatch, SiteVersion } from './history.js';
import type { Appended, Checkpoint, JournalInput, JournalItem, PastDaysReader, ReadingColumns } from './journal.js';
import type { Migration } from './migrate.js';
import { MIGRATIONS } from './schema.js';
import { makeDataFolder, openForWriting, type SqliteFile } from './sqlite-file.js';
import { SqliteJournal } from './sqlite-journal.js';
import { SqliteOutputs } from './sqlite-outputs.js';
import { SqlitePastDays } from './sqlite-past-days.js';
import { SqlitePages } from './sqlite-pages.js';
import { SqliteRetention } from './sqlite-retention.js';
import { asStoreFault } from './store-fault.js';
import { StoreLock } from './store-lock.js';
import type { StoreWriter } from './store.js';

export interface SqliteWriterOptions {
  /** Made where it is missing. */
  readonly dataDir: string;
  /** Names of the site's signals, in the order in which readings index them. */
  readonly signals: readonly string[];
  /** The store's file does not grow past this, so that it leaves the rest of the machine its disk; absent: as far as the disk goes. */
  readonly maxBytes?: number;
  /** The schema's history; a test may hand in one of its own. */
  readonly migrations?: readonly Migration[];
}

/**
 * Takes a data folder for writing.
 *
 * @throws TakelineFault, by rejection, where another agent has the folder, or the store is no store, newer than this program, or cannot be
 *   written. What is damaged within it shows when it is read, and `StoreCheck` looks for it
 */
export function openSqliteWriter(options: SqliteWriterOptions): Promise<StoreWriter> {
  return new Promise((resolve) => {
    makeDataFolder(options.dataDir);
    const lock = StoreLock.take(options.dataDir);
    let file: SqliteFile | undefined;
    try {
      file = openForWriting(options.dataDir, options.migrations ?? MIGRATIONS, options.maxBytes);
      resolve(new SqliteWriter(file, lock, options.signals));
    } catch (error) {
      file?.close();
      lock.release();
      throw asStoreFault(options.dataDir, 'write', error);
    }
  });
}

class SqliteWriter implements StoreWriter {
  readonly pages: SqlitePages;
  private readonly journal: SqliteJournal;
  private readonly outputs: SqliteOutputs;
  private readonly past: SqlitePastDays;
  private readonly retention: SqliteRetention;
  private readonly addSite: Statement<[object]>;
  private readonly putRetention: Statement<[number, number, number | null]>;
  private stopped = false;

  constructor(
    private readonly file: SqliteFile,
    private readonly lock: StoreLock,
    signals: readonly string[],
  ) {
    this.journal = new SqliteJournal(file.db, signals);
    this.past = new SqlitePastDays(file);
    this.outputs = new SqliteOutputs(file.db, this.past);
    this.retention = new SqliteRetention(file.db);
    this.pages = new SqlitePages(file);
    this.putRetention = file.db.prepare(
      'INSERT OR REPLACE INTO retention (only_one, raw_days, minute_days, max_bytes) VALUES (1, ?, ?, ?)',
    );
    this.addSite = file.db.prepare(
      `INSERT INTO site_version (time_ms, by_whom, why, text) SELECT @timeMs, @by, @why, @text
       WHERE @text IS NOT (SELECT text FROM site_version ORDER BY nr DESC LIMIT 1)`,
    );
  }

  get lastSeq(): number {
    return this.journal.lastSeq;
  }

  appendReadings(batch: ReadingColumns): Promise<number> {
    return this.file.attempt(() => this.journal.append(batch));
  }

  appendInput(input: JournalInput): Promise<Appended> {
    return this.file.attempt(() => this.journal.appendInput(input));
  }

  async *readJournal(afterSeq: number): AsyncGenerator<JournalItem> {
    const next = (seq: number) => this.file.attempt(() => this.journal.next(seq));
    for (let item = await next(afterSeq); item; item = await next(item.seq)) yield item;
  }

  compactReadings(): Promise<boolean> {
    return this.file.attempt(() => this.journal.compact());
  }

  trimReadings(beforeMs: number): Promise<number> {
    return this.file.attempt(() => this.journal.trim(beforeMs) + this.retention.trimBlocks(beforeMs));
  }

  trimMinutes(beforeMs: number): Promise<number> {
    return this.file.attempt(() => this.retention.trimMinutes(beforeMs));
  }

  makeRoom(maxBytes: number): Promise<boolean> {
    return this.file.attempt(() => this.retention.makeRoom(maxBytes));
  }

  loadCheckpoint(): Promise<Checkpoint | undefined> {
    return this.file.attempt(() => this.outputs.checkpoint());
  }

  loadCheckpointPart(name: string): Promise<string | undefined> {
    return this.file.attempt(() => this.outputs.checkpointPart(name));
  }

  pastDays(conveyor: string, takeup: string): PastDaysReader {
    return this.past.readerOf(conveyor, takeup);
  }

  writeOutputs(outputs: OutputBatch): Promise<readonly string[]> {
    return this.file.attempt(() => {
      const covered = outputs.checkpoint?.seq ?? 0;
      if (covered > this.lastSeq) throw new RangeError(`a checkpoint covers ${covered}, the journal ends at ${this.lastSeq}`);
      return this.outputs.write(outputs);
    });
  }

  recordSite({ timeMs, by, why, text }: SiteVersion): Promise<boolean> {
    return this.file.attempt(() => this.addSite.run({ timeMs, by: by ?? null, why: why ?? null, text }).changes > 0);
  }

  recordRetention({ rawDays, minuteDays, maxBytes }: Retention): Promise<void> {
    return this.file.attempt(() => {
      this.putRetention.run(rawDays, minuteDays, maxBytes ?? null);
    });
  }

  stop(): Promise<void> {
    if (this.stopped) return Promise.resolve();
    this.stopped = true;
    return this.file.attempt(() => {
      try {
        this.file.close();
      } finally {
        this.lock.release();
      }
    });
  }
}
