import type { Database, Statement } from 'better-sqlite3';
import type { ReadingColumns } from './journal.js';
import { type ReadingRow, ROWS_AT_A_TIME, toColumns } from './reading-rows.js';

interface Range {
  readonly fromMs: number;
  readonly toMs: number;
}

interface Page extends Range {
  readonly afterSeq: number;
  readonly lastSeq: number;
  /** Ids of the signals, as a JSON list. */
  readonly ids: string;
  readonly rows: number;
}

/** A piece of what was asked for, and where to go on. */
export interface ReadingPage {
  readonly seq: number;
  readonly columns: ReadingColumns;
}

/** Finds journalled readings by time: first the stretches of the journal that reach into the range, then the readings in them. */
export class ReadingQuery {
  private readonly findSignal: Statement<[string], number>;
  private readonly selectStretch: Statement<[Range & { readonly afterSeq: number }], { firstSeq: number; lastSeq: number }>;
  private readonly selectPage: Statement<[Page], ReadingRow>;

  constructor(db: Database) {
    this.findSignal = db.prepare<[string], number>('SELECT id FROM signal WHERE name = ?').pluck();
    this.selectStretch = db.prepare(
      `SELECT first_seq AS firstSeq, last_seq AS lastSeq FROM reading_stretch
       WHERE last_seq > @afterSeq AND from_ms < @toMs AND to_ms >= @fromMs ORDER BY first_seq LIMIT 1`,
    );
    this.selectPage = db
      .prepare<[Page], ReadingRow>(
        `SELECT seq, signal, time_ms, value FROM reading
         WHERE seq > @afterSeq AND seq <= @lastSeq AND time_ms >= @fromMs AND time_ms < @toMs
           AND signal IN (SELECT value FROM json_each(@ids))
         ORDER BY seq LIMIT @rows`,
      )
      .raw();
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

  /** The next piece after a sequence number; undefined at the end. It may be empty. */
  next(places: ReadonlyMap<number, number>, range: Range, afterSeq: number): ReadingPage | undefined {
    const stretch = this.selectStretch.get({ ...range, afterSeq });
    if (!stretch) return undefined;
    const rows = this.selectPage.all({
      ...range,
      afterSeq: Math.max(afterSeq, stretch.firstSeq - 1),
      lastSeq: stretch.lastSeq,
      ids: JSON.stringify([...places.keys()]),
      rows: ROWS_AT_A_TIME,
    });
    const full = rows.length === ROWS_AT_A_TIME;
    return { seq: full ? (rows.at(-1)?.[0] ?? stretch.lastSeq) : stretch.lastSeq, columns: toColumns(rows, places) };
  }
}
