import type { Statement } from 'better-sqlite3';
import type { PastDaysOfTakeup, PastDaysReader, StoredDay } from './journal.js';
import type { SqliteFile } from './sqlite-file.js';

interface Row {
  readonly date: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly numbers: Buffer;
}

interface OfTakeup {
  readonly conveyor: string;
  readonly takeup: string;
}

const DOUBLE = Float64Array.BYTES_PER_ELEMENT;

/** Settled windows of days that are over, a row a day. */
export class SqlitePastDays {
  private readonly put: Statement<[Row & { readonly takeupId: number }]>;
  private readonly clear: Statement<[number]>;
  private readonly selectBefore: Statement<[OfTakeup & { readonly timeMs: number }], Row>;
  private readonly selectSince: Statement<[OfTakeup & { readonly timeMs: number; readonly most: number }], Row>;

  constructor(private readonly file: SqliteFile) {
    const { db } = file;
    this.put = db.prepare(
      `INSERT INTO past_day (takeup_id, date, from_ms, to_ms, numbers) VALUES (@takeupId, @date, @fromMs, @toMs, @numbers)
       ON CONFLICT (takeup_id, date) DO UPDATE SET from_ms = excluded.from_ms, to_ms = excluded.to_ms, numbers = excluded.numbers`,
    );
    this.clear = db.prepare('DELETE FROM past_day WHERE takeup_id = ?');
    const rows = `SELECT date, from_ms AS fromMs, to_ms AS toMs, numbers FROM past_day
      WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup)`;
    this.selectBefore = db.prepare(`${rows} AND from_ms < @timeMs ORDER BY date DESC LIMIT 1`);
    this.selectSince = db.prepare(`${rows} AND to_ms > @timeMs ORDER BY date LIMIT @most`);
  }

  /** Within a transaction of the caller's. */
  write({ anew, days }: PastDaysOfTakeup, takeupId: number): void {
    if (anew) this.clear.run(takeupId);
    for (const { numbers, ...day } of days) {
      this.put.run({ ...day, takeupId, numbers: Buffer.from(numbers.buffer, numbers.byteOffset, numbers.byteLength) });
    }
  }

  readerOf(conveyor: string, takeup: string): PastDaysReader {
    const all = -1;
    const { file } = this;
    const since = (timeMs: number) => this.selectSince.all({ conveyor, takeup, timeMs, most: all });
    return {
      before: (timeMs) => file.readNow(() => stored(this.selectBefore.get({ conveyor, takeup, timeMs }))),
      after: (timeMs) => file.readNow(() => stored(this.selectSince.get({ conveyor, takeup, timeMs, most: 1 }))),
      since: (timeMs) => file.readNow(() => since(timeMs).map((row) => stored(row) as StoredDay)),
    };
  }
}

/** A buffer of its need not lie where doubles may begin. */
function stored(row: Row | undefined): StoredDay | undefined {
  if (row === undefined) return undefined;
  const { numbers, ...day } = row;
  return { ...day, numbers: new Float64Array(Uint8Array.from(numbers).buffer, 0, numbers.length / DOUBLE) };
}
