import type { Database, Statement } from 'better-sqlite3';
import { MINUTE_COLUMNS } from './output-columns.js';

export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;

interface Stretch {
  readonly takeupId: number;
  readonly fromMs: number;
  readonly toMs: number;
}

/** Aggregates that make one point of many minutes: extremes stay extremes, means are weighted by their readings. */
export const ROLLED_UP = {
  count: 'sum(count)',
  minMm: 'min(min_mm)',
  maxMm: 'max(max_mm)',
  meanMm: weightedMean('mean_mm'),
  springMinMm: 'min(spring_min_mm)',
  tensionN: weightedMean('tension_n'),
} as const;

/** The hours in which minutes were written, waiting to be rolled up. */
export interface TouchedHours {
  add(takeupId: number, timeMs: number): void;
  /** Works each hour out anew from all of its minutes, so that writing a minute twice counts it once, and then each day. */
  rollUp(): void;
}

/** The history by hours, made of the minutes, and by days of UTC, made of the hours. */
export class SqliteRollUps {
  private readonly putHour: Statement<[Stretch]>;
  private readonly putDay: Statement<[Stretch]>;

  constructor(db: Database) {
    this.putHour = db.prepare(rolledUp('hour', 'minute'));
    this.putDay = db.prepare(rolledUp('day', 'hour'));
  }

  touched(): TouchedHours {
    const hours = new Map<string, Stretch>();
    const days = new Map<string, Stretch>();
    return {
      add: (takeupId, timeMs) => {
        touch(hours, takeupId, timeMs, HOUR_MS);
        touch(days, takeupId, timeMs, DAY_MS);
      },
      rollUp: () => {
        for (const hour of hours.values()) this.putHour.run(hour);
        for (const day of days.values()) this.putDay.run(day);
      },
    };
  }
}

function touch(into: Map<string, Stretch>, takeupId: number, timeMs: number, lengthMs: number): void {
  const fromMs = Math.floor(timeMs / lengthMs) * lengthMs;
  into.set(`${takeupId}/${fromMs}`, { takeupId, fromMs, toMs: fromMs + lengthMs });
}

/** A late minute of an hour whose minutes are gone by now makes it no smaller: what has fewer readings behind it does not take its place. */
function rolledUp(into: string, from: string): string {
  const { timeMs, ...figures } = MINUTE_COLUMNS;
  const columns = Object.values(figures);
  const aggregates = Object.keys(figures).map((field) => ROLLED_UP[field as keyof typeof figures]);
  return `INSERT INTO ${into} (takeup_id, ${timeMs}, ${columns.join(', ')})
    SELECT @takeupId, @fromMs, ${aggregates.join(', ')}
    FROM ${from} WHERE takeup_id = @takeupId AND time_ms >= @fromMs AND time_ms < @toMs
    ON CONFLICT (takeup_id, time_ms) DO UPDATE SET ${columns.map((column) => `${column} = excluded.${column}`).join(', ')}
    WHERE excluded.count >= ${into}.count`;
}

function weightedMean(column: string): string {
  return `sum(${column} * count) / sum(count) FILTER (WHERE ${column} IS NOT NULL)`;
}
