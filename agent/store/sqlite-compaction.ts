import type { Database, Statement, Transaction } from 'better-sqlite3';
import { ReadingBlocks } from './reading-blocks.js';
import type { SignalReadings } from './reading-codec.js';
import type { ReadingRow } from './reading-rows.js';

/** Rows that stay rows: a restart looks through the journal's end for what a broker may deliver again. */
const ROWS_KEPT = 20_000;
/** Stretches moved in one go, of some ten thousand readings each: the more of them, the fewer times a block is opened. */
const STRETCHES_AT_A_TIME = 20;
/** What one step does, so that it is over in a few ms. */
const ROWS_A_STEP = 2000;
const SIGNALS_A_STEP = 4;

interface Ends {
  readonly firstSeq: number;
  readonly lastSeq: number;
}

/** Readings of one signal that are being gathered. */
interface Gathered {
  readonly timeMs: number[];
  readonly value: number[];
}

/**
 * Moves readings from rows, which are quick to write, into blocks, which are small. In steps of a few ms; each is a transaction of its
 * own, after which every reading is found exactly once: a signal's rows count no longer from the moment at which its blocks have them.
 */
export class SqliteCompaction {
  private readonly blocks: ReadingBlocks;
  private running: Generator<void, void> | undefined;

  private readonly movable: Statement<[number], Ends>;
  private readonly selectRows: Statement<[number, number, number], ReadingRow>;
  private readonly selectMoved: Statement<[], [number, number]>;
  private readonly setMoved: Statement<[number, number]>;
  private readonly dropRows: Statement<[number, number]>;
  private readonly dropStretches: Statement<[number]>;
  private readonly inOneGo: Transaction<(work: () => void) => void>;

  /** @param onDropped - hears up to which number the rows are gone */
  constructor(
    private readonly db: Database,
    private readonly onDropped: (lastSeq: number) => void,
  ) {
    this.blocks = new ReadingBlocks(db);
    this.movable = db.prepare(
      `SELECT first_seq AS firstSeq, last_seq AS lastSeq FROM reading_stretch
       WHERE last_seq <= min(ifnull((SELECT seq FROM checkpoint), 0), ?) ORDER BY first_seq LIMIT ${STRETCHES_AT_A_TIME}`,
    );
    this.selectRows = db
      .prepare<[number, number, number], ReadingRow>(
        'SELECT seq, signal, time_ms, value FROM reading WHERE seq > ? AND seq <= ? ORDER BY seq LIMIT ?',
      )
      .raw();
    this.selectMoved = db.prepare<[], [number, number]>('SELECT signal, seq FROM reading_moved').raw();
    this.setMoved = db.prepare('INSERT OR REPLACE INTO reading_moved (signal, seq) VALUES (?, ?)');
    this.dropRows = db.prepare('DELETE FROM reading WHERE seq > ? AND seq <= ?');
    this.dropStretches = db.prepare('DELETE FROM reading_stretch WHERE last_seq <= ?');
    this.inOneGo = db.transaction((work: () => void) => {
      work();
    });
  }

  /** @returns whether there is more to do at once */
  step(lastSeq: number): boolean {
    this.running ??= this.pass(lastSeq - ROWS_KEPT);
    try {
      if (this.running.next().done !== true) return true;
    } catch (error) {
      this.running = undefined;
      throw error;
    }
    this.running = undefined;
    return this.movable.get(lastSeq - ROWS_KEPT) !== undefined;
  }

  private *pass(throughSeq: number): Generator<void, void> {
    const stretches = this.movable.all(throughSeq);
    const [first, last] = [stretches[0], stretches.at(-1)];
    if (!first || !last) return;
    const before = first.firstSeq - 1;
    // A pass that was cut short has moved some signals already: their rows are still there, and count no longer.
    const moved = new Map(this.selectMoved.all());
    const gathered = new Map<number, Gathered>();
    for (let seq = before; seq < last.lastSeq;) {
      seq = this.gather(gathered, moved, seq, last.lastSeq);
      yield;
    }
    const takenMs = middleOf(gathered);
    const signals = [...gathered];
    for (let i = 0; i < signals.length; i += SIGNALS_A_STEP) {
      this.move(signals.slice(i, i + SIGNALS_A_STEP), last.lastSeq, takenMs);
      yield;
    }
    for (let seq = before; seq < last.lastSeq; seq += ROWS_A_STEP) {
      this.quickly(() => this.dropRows.run(seq, Math.min(seq + ROWS_A_STEP, last.lastSeq)));
      yield;
    }
    this.quickly(() => this.dropStretches.run(last.lastSeq));
    this.onDropped(last.lastSeq);
  }

  /** Reads a few rows. @returns the number of the last */
  private gather(into: Map<number, Gathered>, moved: ReadonlyMap<number, number>, afterSeq: number, lastSeq: number): number {
    const rows = this.selectRows.all(afterSeq, lastSeq, ROWS_A_STEP);
    for (const [seq, signal, timeMs, value] of rows) {
      if (seq <= (moved.get(signal) ?? 0)) continue;
      let of = into.get(signal);
      if (!of) into.set(signal, (of = { timeMs: [], value: [] }));
      of.timeMs.push(timeMs);
      of.value.push(value ?? NaN);
    }
    return rows.length < ROWS_A_STEP ? lastSeq : (rows.at(-1)?.[0] ?? lastSeq);
  }

  private move(signals: readonly (readonly [signal: number, of: Gathered])[], lastSeq: number, takenMs: number): void {
    this.quickly(() => {
      for (const [signal, of] of signals) {
        this.blocks.merge(signal, columnsOf(of), takenMs);
        this.setMoved.run(signal, lastSeq);
      }
    });
  }

  /**
   * A transaction that does not wait for the disk: were it lost with the power, its rows would still be there. The log is one, so the
   * next commit of the journal makes it durable too, and nothing overtakes it.
   */
  private quickly(work: () => void): void {
    this.db.pragma('synchronous = NORMAL');
    try {
      this.inOneGo.immediate(work);
    } finally {
      this.db.pragma('synchronous = FULL');
    }
  }
}

function columnsOf({ timeMs, value }: Gathered): SignalReadings {
  return { timeMs: Float64Array.from(timeMs), value: Float64Array.from(value) };
}

/** The middle of the readings' times: one device whose clock is wrong does not move it. */
function middleOf(gathered: ReadonlyMap<number, Gathered>): number {
  const middles = [...gathered.values()].map(({ timeMs }) => timeMs[timeMs.length >> 1] as number).sort((a, b) => a - b);
  return middles[middles.length >> 1] ?? 0;
}
