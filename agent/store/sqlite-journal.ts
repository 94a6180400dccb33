import type { Database, Statement, Transaction } from 'better-sqlite3';
import type { Appended, JournalInput, JournalItem, ReadingColumns } from './journal.js';
import { type ReadingRow, ROWS_AT_A_TIME, toColumns } from './reading-rows.js';
import { SqliteCompaction } from './sqlite-compaction.js';
import { SqliteInputs } from './sqlite-inputs.js';

/** A stretch of readings is closed at this length: the grain in which times are found and old readings dropped. */
const STRETCH_READINGS = 10_000;
/** Stretches dropped by one call: some 50 ms on a slow disk. */
const STRETCHES_AT_A_TIME = 5;

/** The stretch that readings are being added to. */
interface Stretch {
  readonly firstSeq: number;
  readonly lastSeq: number;
  readonly fromMs: number;
  readonly toMs: number;
}

type StretchEnds = Pick<Stretch, 'firstSeq' | 'lastSeq'>;

interface Dropped extends StretchEnds {
  readonly readings: number;
}

/** The journal's readings: appended, read back, trimmed. */
export class SqliteJournal {
  lastSeq: number;

  private readonly inputs: SqliteInputs;
  private readonly compaction: SqliteCompaction;
  private readonly idOf: readonly number[];
  private readonly indexOf: ReadonlyMap<number, number>;
  private stretch: Stretch | undefined;

  private readonly write: Transaction<(batch: ReadingColumns, stretch: Stretch) => void>;
  private readonly dropOlder: Transaction<(beforeMs: number) => readonly Dropped[]>;
  private readonly addReading: Statement<[number, number, number, number]>;
  private readonly putStretch: Statement<[Stretch]>;
  private readonly selectReadings: Statement<[number, number, number], ReadingRow>;
  private readonly selectOld: Statement<[number], StretchEnds>;
  private readonly countOlder: Statement<[number, StretchEnds], { readings: number; older: number }>;
  private readonly dropReadings: Statement<[StretchEnds]>;
  private readonly dropStretch: Statement<[StretchEnds]>;

  /** @param signals - names, in the order in which readings index them */
  constructor(db: Database, signals: readonly string[]) {
    this.inputs = new SqliteInputs(db);
    this.compaction = new SqliteCompaction(db, (lastSeq) => {
      if (this.stretch && this.stretch.lastSeq <= lastSeq) this.stretch = undefined;
    });
    this.idOf = idsOf(db, signals);
    this.indexOf = new Map(this.idOf.map((id, index) => [id, index]));
    this.lastSeq = lastSeqIn(db);
    this.write = db.transaction((batch: ReadingColumns, stretch: Stretch) => this.insert(batch, stretch));
    this.dropOlder = db.transaction((beforeMs: number) => this.drop(beforeMs));
    this.addReading = db.prepare('INSERT INTO reading (seq, signal, time_ms, value) VALUES (?, ?, ?, ?)');
    this.putStretch = db.prepare(
      `INSERT INTO reading_stretch (first_seq, last_seq, from_ms, to_ms) VALUES (@firstSeq, @lastSeq, @fromMs, @toMs)
       ON CONFLICT (first_seq) DO UPDATE SET last_seq = excluded.last_seq, from_ms = excluded.from_ms, to_ms = excluded.to_ms`,
    );
    this.selectReadings = db
      .prepare<[number, number, number], ReadingRow>(
        'SELECT seq, signal, time_ms, value FROM reading WHERE seq > ? AND seq < ? ORDER BY seq LIMIT ?',
      )
      .raw();
    this.selectOld = db.prepare(
      `SELECT first_seq AS firstSeq, last_seq AS lastSeq FROM reading_stretch
       WHERE last_seq <= (SELECT seq FROM checkpoint) ORDER BY first_seq LIMIT ?`,
    );
    this.countOlder = db.prepare(
      'SELECT count(*) AS readings, count(*) FILTER (WHERE time_ms < ?) AS older FROM reading WHERE seq BETWEEN @firstSeq AND @lastSeq',
    );
    this.dropReadings = db.prepare('DELETE FROM reading WHERE seq BETWEEN @firstSeq AND @lastSeq');
    this.dropStretch = db.prepare('DELETE FROM reading_stretch WHERE first_seq = @firstSeq');
  }

  append(batch: ReadingColumns): number {
    if (batch.count === 0) return this.lastSeq;
    const stretch = this.extended(batch);
    this.write.immediate(batch, stretch);
    // Only now: a transaction that failed has used no numbers.
    this.stretch = stretch;
    this.lastSeq = stretch.lastSeq;
    return this.lastSeq;
  }

  appendInput(input: JournalInput): Appended {
    const appended = this.inputs.append(input, this.lastSeq + 1);
    if (appended.outcome === 'added') this.lastSeq = appended.seq;
    return appended;
  }

  /** The next piece after a sequence number: readings up to the next other input, or that input. */
  next(afterSeq: number): JournalItem | undefined {
    const input = this.inputs.next(afterSeq);
    const rows = this.selectReadings.all(afterSeq, input?.seq ?? Number.MAX_SAFE_INTEGER, ROWS_AT_A_TIME);
    const last = rows.at(-1);
    return last ? { kind: 'readings', seq: last[0], columns: toColumns(rows, this.indexOf) } : input;
  }

  /** Moves some rows into blocks. @returns whether there is more to do at once */
  compact(): boolean {
    return this.compaction.step(this.lastSeq);
  }

  trim(beforeMs: number): number {
    const dropped = this.dropOlder.immediate(beforeMs);
    if (dropped.some(({ firstSeq }) => firstSeq === this.stretch?.firstSeq)) this.stretch = undefined;
    return dropped.reduce((sum, { readings }) => sum + readings, 0);
  }

  private insert(batch: ReadingColumns, stretch: Stretch): void {
    let seq = this.lastSeq;
    for (let i = 0; i < batch.count; i++) {
      const index = batch.signal[i] as number;
      const id = this.idOf[index];
      if (id === undefined) throw new RangeError(`there is no signal ${index}: the store was opened with ${this.idOf.length}`);
      this.addReading.run(++seq, id, batch.timeMs[i] as number, batch.value[i] as number);
    }
    this.putStretch.run(stretch);
  }

  private drop(beforeMs: number): readonly Dropped[] {
    const dropped: Dropped[] = [];
    for (const old of this.selectOld.all(STRETCHES_AT_A_TIME)) {
      const { readings, older } = this.countOlder.get(beforeMs, old) as { readings: number; older: number };
      if (older * 2 <= readings) break;
      this.dropReadings.run(old);
      this.dropStretch.run(old);
      dropped.push({ ...old, readings });
    }
    return dropped;
  }

  /** The open stretch with the batch in it, or a new one where that is long enough. */
  private extended({ count, timeMs }: ReadingColumns): Stretch {
    const open = this.stretch && this.stretch.lastSeq - this.stretch.firstSeq < STRETCH_READINGS ? this.stretch : undefined;
    let fromMs = open?.fromMs ?? Infinity;
    let toMs = open?.toMs ?? -Infinity;
    for (let i = 0; i < count; i++) {
      const time = timeMs[i] as number;
      if (time < fromMs) fromMs = time;
      if (time > toMs) toMs = time;
    }
    return { firstSeq: open?.firstSeq ?? this.lastSeq + 1, lastSeq: this.lastSeq + count, fromMs, toMs };
  }
}

/** The ids of signals, new ones entered. */
function idsOf(db: Database, names: readonly string[]): readonly number[] {
  const add = db.prepare<[string]>('INSERT INTO signal (name) VALUES (?) ON CONFLICT (name) DO NOTHING');
  const find = db.prepare<[string], number>('SELECT id FROM signal WHERE name = ?').pluck();
  return db
    .transaction(() =>
      names.map((name) => {
        add.run(name);
        return find.get(name) as number;
      }),
    )
    .immediate();
}

/** Trimming may have emptied the journal: the checkpoint then knows how far it was. */
function lastSeqIn(db: Database): number {
  const sources = ['reading', 'service_entry', 'operator_action', 'checkpoint'];
  const each = sources.map((table) => `(SELECT max(seq) FROM ${table})`);
  return Number(
    db
      .prepare(`SELECT max(${each.map((one) => `ifnull(${one}, 0)`).join(', ')})`)
      .pluck()
      .get(),
  );
}
