import type { Database, Statement } from 'better-sqlite3';
import type { History, HistoryPoint, MinuteQuery } from './history.js';
import { HOUR_MS, ROLLED_UP } from './sqlite-roll-ups.js';

const MINUTE_MS = 60_000;

interface Buckets {
  readonly conveyor: string;
  readonly takeup: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly widthMs: number;
}

/** Draws a stretch of history from the minutes, or from the hours where its buckets hold whole ones. */
export class HistoryQuery {
  private readonly fromMinutes: Statement<[Buckets], HistoryPoint>;
  private readonly fromHours: Statement<[Buckets], HistoryPoint>;

  constructor(db: Database) {
    this.fromMinutes = db.prepare(bucketsOf('minute'));
    this.fromHours = db.prepare(bucketsOf('hour'));
  }

  /** @throws RangeError where `maxPoints` is no whole number from 2 on */
  read({ conveyor, takeup, fromMs, toMs, maxPoints, gapMs = MINUTE_MS }: MinuteQuery): History {
    if (!Number.isInteger(maxPoints) || maxPoints < 2) throw new RangeError(`a history cannot be drawn in ${maxPoints} points`);
    const widthMs = bucketWidth(Math.max(0, toMs - fromMs), maxPoints);
    if (toMs <= fromMs) return { widthMs, points: [] };
    const source = widthMs >= HOUR_MS ? this.fromHours : this.fromMinutes;
    // Buckets lie on whole multiples of their width, so that a picture that is moved along shows the same ones again.
    const range = { fromMs: Math.floor(fromMs / widthMs) * widthMs, toMs: Math.ceil(toMs / widthMs) * widthMs };
    const points = source.all({ conveyor, takeup, widthMs, ...range });
    return { widthMs, points: broken(points, Math.max(widthMs, gapMs)) };
  }
}

/** The narrowest width, in whole minutes or hours, of which `maxPoints` cover the range wherever it begins. */
function bucketWidth(rangeMs: number, maxPoints: number): number {
  const least = rangeMs / (maxPoints - 1);
  const inMinutes = Math.max(1, Math.ceil(least / MINUTE_MS)) * MINUTE_MS;
  // Above half an hour the next whole hour costs little detail and reads a sixtieth of the rows.
  return inMinutes <= HOUR_MS / 2 ? inMinutes : Math.ceil(least / HOUR_MS) * HOUR_MS;
}

/** Puts a null wherever two neighbours are further apart than `gapMs`. */
function broken(points: readonly HistoryPoint[], gapMs: number): readonly (HistoryPoint | null)[] {
  return points.flatMap((point, index) => {
    const before = points[index - 1];
    return before && point.timeMs - before.timeMs > gapMs ? [null, point] : [point];
  });
}

function bucketsOf(table: 'minute' | 'hour'): string {
  const figures = Object.entries(ROLLED_UP).map(([field, aggregate]) => `${aggregate} AS "${field}"`);
  return `SELECT time_ms - time_ms % @widthMs AS "timeMs", ${figures.join(', ')}
    FROM ${table}
    WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup)
      AND time_ms >= @fromMs AND time_ms < @toMs
    GROUP BY 1 ORDER BY 1`;
}
