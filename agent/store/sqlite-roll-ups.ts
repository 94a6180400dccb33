import type { Database, Statement } from 'better-sqlite3';
import { MINUTE_COLUMNS, TEMPERATURE_COLUMNS } from './output-columns.js';

export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;

interface Stretch {
  readonly ownerId: number;
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
  tensionMinN: 'min(tension_min_n)',
  tensionMaxN: 'max(tension_max_n)',
} as const;

/** The same for temperatures. */
export const WARMTH_ROLLED_UP = {
  count: 'sum(count)',
  minC: 'min(min_c)',
  maxC: 'max(max_c)',
  meanC: weightedMean('mean_c'),
  chainC: weightedMean('chain_c'),
} as const;

/** What is rolled up: minutes into hours into days. */
interface Course {
  readonly tables: readonly [minute: string, hour: string, day: string];
  /** The column that says whose a row is. */
  readonly owner: string;
  readonly columns: Readonly<Record<string, string>>;
  readonly aggregates: Readonly<Record<string, string>>;
}

export const POSITIONS: Course = {
  tables: ['minute', 'hour', 'day'],
  owner: 'takeup_id',
  columns: MINUTE_COLUMNS,
  aggregates: ROLLED_UP,
};

export const TEMPERATURES: Course = {
  tables: ['temperature_minute', 'temperature_hour', 'temperature_day'],
  owner: 'signal',
  columns: TEMPERATURE_COLUMNS,
  aggregates: WARMTH_ROLLED_UP,
};

/** The hours in which minutes were written, waiting to be rolled up. */
export interface TouchedHours {
  add(ownerId: number, timeMs: number): void;
  /** Works each hour out anew from all of its minutes, so that writing a minute twice counts it once, and then each day. */
  rollUp(): void;
}

/** The history by hours, made of the minutes, and by days of UTC, made of the hours. */
export class SqliteRollUps {
  private readonly putHour: Statement<[Stretch]>;
  private readonly putDay: Statement<[Stretch]>;

  constructor(db: Database, course: Course) {
    const [minute, hour, day] = course.tables;
    this.putHour = db.prepare(rolledUp(course, hour, minute));
    this.putDay = db.prepare(rolledUp(course, day, hour));
  }

  touched(): TouchedHours {
    const hours = new Map<string, Stretch>();
    const days = new Map<string, Stretch>();
    return {
      add: (ownerId, timeMs) => {
        touch(hours, ownerId, timeMs, HOUR_MS);
        touch(days, ownerId, timeMs, DAY_MS);
      },
      rollUp: () => {
        for (const hour of hours.values()) this.putHour.run(hour);
        for (const day of days.values()) this.putDay.run(day);
      },
    };
  }
}

function touch(into: Map<string, Stretch>, ownerId: number, timeMs: number, lengthMs: number): void {
  const fromMs = Math.floor(timeMs / lengthMs) * lengthMs;
  into.set(`${ownerId}/${fromMs}`, { ownerId, fromMs, toMs: fromMs + lengthMs });
}

/** A late minute of an hour whose minutes are gone by now makes it no smaller: what has fewer readings behind it does not take its place. */
function rolledUp({ owner, columns: all, aggregates }: Course, into: string, from: string): string {
  const figures = Object.entries(all).filter(([field]) => field !== 'timeMs');
  const columns = figures.map(([, column]) => column);
  return `INSERT INTO ${into} (${owner}, time_ms, ${columns.join(', ')})
    SELECT @ownerId, @fromMs, ${figures.map(([field]) => aggregates[field]).join(', ')}
    FROM ${from} WHERE ${owner} = @ownerId AND time_ms >= @fromMs AND time_ms < @toMs
    ON CONFLICT (${owner}, time_ms) DO UPDATE SET ${columns.map((column) => `${column} = excluded.${column}`).join(', ')}
    WHERE excluded.count >= ${into}.count`;
}

function weightedMean(column: string): string {
  return `sum(${column} * count) / sum(iif(${column} IS NULL, 0, count))`;
}
