import type { Database, Statement } from 'better-sqlite3';
import { type Nullable, withoutNulls } from './columns.js';
import { StatementCache, valuesOf, where, whereClause } from './query.js';
import type { Recorded, RecordedFilter } from './recorder.js';

/** Raw readings are kept so long before and after. */
const AROUND_MS = 600_000;
/** A finding whose step lies within so long is kept from before it to after it; a slow one only around when it became known. */
const STEP_MS = 6 * 3_600_000;

/** From where to where readings are kept. */
export interface Window {
  readonly fromMs: number;
  readonly toMs: number;
}

interface Wanted extends Window {
  readonly conveyor: string;
  /** Null: of whichever take-up. */
  readonly takeup: string | null;
}

const QUICK = `max(to_ms, time_ms) - from_ms <= ${STEP_MS}`;
/** Everything that is recorded, each with its stretch. */
const ALL = `
  SELECT 'alarm' AS kind, id, alarm AS what, time_ms, conveyor, takeup, time_ms - ${AROUND_MS} AS from_ms, time_ms + ${AROUND_MS} AS to_ms
  FROM alarm_event WHERE change = 'raised'
  UNION ALL
  SELECT 'finding', id, finding, time_ms, conveyor, takeup,
    iif(${QUICK}, from_ms, time_ms) - ${AROUND_MS}, iif(${QUICK}, max(to_ms, time_ms), time_ms) + ${AROUND_MS}
  FROM finding
  UNION ALL
  SELECT 'entry', id, kind, time_ms, conveyor, takeup, time_ms - ${AROUND_MS}, time_ms + ${AROUND_MS}
  FROM service_entry`;

const COLUMNS = 'kind, id, what, time_ms AS timeMs, conveyor, takeup, from_ms AS fromMs, to_ms AS toMs';

/** The flight recorder: which stretches of raw readings are kept for good. It follows from what happened, and needs no list of its own. */
export class RecorderQuery {
  private readonly statements: StatementCache;
  private readonly selectWindows: Statement<[Wanted], Window>;

  constructor(db: Database) {
    this.statements = new StatementCache(db);
    // What happened may be kept from well before to after it, so the times by which it is found reach further than the stretch.
    const near = `time_ms BETWEEN @fromMs - ${AROUND_MS + STEP_MS} AND @toMs + ${AROUND_MS + STEP_MS}`;
    this.selectWindows = db.prepare(
      `SELECT from_ms AS fromMs, to_ms AS toMs FROM (${ALL})
       WHERE ${near} AND from_ms <= @toMs AND to_ms >= @fromMs
         AND conveyor = @conveyor AND (@takeup IS NULL OR takeup IS NULL OR takeup = @takeup)
       ORDER BY from_ms`,
    );
  }

  /** @param signal - its name: a take-up's signals are kept for what happened there, a conveyor's for what happened anywhere on it */
  windows(signal: string, { fromMs, toMs }: Window): readonly Window[] {
    const [conveyor = '', takeup, ...rest] = signal.split('/');
    // `<conveyor>/<take-up>/<side>/position`, against `<conveyor>/running` or `<conveyor>/<zone>/temperature` (contracts §1).
    const ofTakeup = rest.length === 2;
    return this.selectWindows.all({ conveyor, takeup: ofTakeup ? (takeup ?? null) : null, fromMs, toMs });
  }

  /** Latest first. @throws RangeError where `limit` is no whole number from 1 on */
  list(filter: RecordedFilter): readonly Recorded[] {
    if (!Number.isInteger(filter.limit) || filter.limit < 1) throw new RangeError(`a list cannot have ${filter.limit} lines`);
    const conditions = [
      ...where('time_ms >= @fromMs', 'fromMs', filter.fromMs),
      ...where('time_ms < @toMs', 'toMs', filter.toMs),
      ...where('conveyor = @conveyor', 'conveyor', filter.conveyor),
      ...where('(takeup = @takeup OR takeup IS NULL)', 'takeup', filter.takeup),
    ];
    return this.statements
      .of<Nullable<Recorded>>(`SELECT ${COLUMNS} FROM (${ALL})${whereClause(conditions)} ORDER BY time_ms DESC, id LIMIT @limit`)
      .all({ ...valuesOf(conditions), limit: filter.limit })
      .map((row) => withoutNulls<Recorded>(row));
  }
}
