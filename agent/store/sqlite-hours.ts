import type { Database, Statement } from 'better-sqlite3';
import { MINUTE_COLUMNS } from './output-columns.js';

export const HOUR_MS = 3_600_000;

interface Hour {
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
  /** Works each hour out anew from all of its minutes, so that writing a minute twice counts it once. */
  rollUp(): void;
}

/** The hourly history, made of the minutes. */
export class SqliteHours {
  private readonly put: Statement<[Hour]>;

  constructor(db: Database) {
    const { timeMs, ...figures } = MINUTE_COLUMNS;
    this.put = db.prepare(
      `INSERT OR REPLACE INTO hour (takeup_id, ${timeMs}, ${Object.values(figures).join(', ')})
       SELECT @takeupId, @fromMs, ${Object.keys(figures)
         .map((field) => ROLLED_UP[field as keyof typeof figures])
         .join(', ')}
       FROM minute WHERE takeup_id = @takeupId AND time_ms >= @fromMs AND time_ms < @toMs`,
    );
  }

  touched(): TouchedHours {
    const hours = new Map<string, Hour>();
    return {
      add: (takeupId, timeMs) => {
        const fromMs = Math.floor(timeMs / HOUR_MS) * HOUR_MS;
        hours.set(`${takeupId}/${fromMs}`, { takeupId, fromMs, toMs: fromMs + HOUR_MS });
      },
      rollUp: () => {
        for (const hour of hours.values()) this.put.run(hour);
      },
    };
  }
}

function weightedMean(column: string): string {
  return `sum(${column} * count) / sum(count) FILTER (WHERE ${column} IS NOT NULL)`;
}
