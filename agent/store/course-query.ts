import type { Database, Statement } from 'better-sqlite3';
import { isGapAfter, MINUTE_MS } from './gaps.js';
import { runningShares, type RunningTurn } from './running-shares.js';
import type { ConveyorCourse, ConveyorCourseQuery, RunningShares, SpringSettingRow, TemperatureSeries } from './series.js';
import { DAY_MS, HOUR_MS, TEMPERATURES, WARMTH_ROLLED_UP } from './sqlite-roll-ups.js';

type Known = number | null;
/** A point as it is drawn together, before it stands in columns. */
export type WarmthPoint = readonly [timeMs: number, count: number, min: Known, max: Known, mean: Known, chain: Known];
interface Stretch {
  readonly signal: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly widthMs: number;
}
interface Range {
  readonly conveyor: string;
  readonly fromMs: number;
  readonly toMs: number;
}

const GRAINS_MS = [MINUTE_MS, HOUR_MS, DAY_MS] as const;

/** What a conveyor did: how warm it was, when it ran, and how the springs of its take-ups were followed. */
export class ConveyorCourseQueries {
  /** By table, from the finest on. */
  private readonly selectWarmth: readonly Statement<[Stretch], WarmthPoint>[];
  private readonly selectTurns: Statement<[Range], RunningTurn>;
  private readonly selectLast: Statement<[string], number | null>;
  private readonly selectSprings: Statement<[object], { side: 'left' | 'right'; timeMs: number; setting: string }>;

  constructor(db: Database) {
    this.selectWarmth = TEMPERATURES.tables.map((table) => db.prepare<[Stretch], WarmthPoint>(pointsOf(table)).raw());
    this.selectTurns = db.prepare(
      `SELECT time_ms AS timeMs, running FROM running_turn WHERE conveyor = @conveyor AND time_ms < @toMs
         AND time_ms >= ifnull((SELECT max(time_ms) FROM running_turn WHERE conveyor = @conveyor AND time_ms <= @fromMs), @fromMs)
       ORDER BY time_ms`,
    );
    this.selectLast = db
      .prepare<[string], number | null>(
        'SELECT max((SELECT max(time_ms) FROM minute WHERE takeup_id = takeup.id)) FROM takeup WHERE conveyor = ?',
      )
      .pluck();
    this.selectSprings = db.prepare(
      `SELECT side, time_ms AS timeMs, setting FROM spring_setting
       WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup) AND time_ms < @toMs ORDER BY time_ms`,
    );
  }

  /** @throws RangeError where the width is no whole number above 0 */
  read(query: ConveyorCourseQuery): ConveyorCourse {
    const { widthMs, temperatures } = query;
    if (!Number.isInteger(widthMs) || widthMs < 1) throw new RangeError(`a point cannot be ${widthMs} ms wide`);
    return { temperatures: temperatures.map((signal) => this.warmth(signal, query)), running: this.running(query) };
  }

  springs(conveyor: string, takeup: string, toMs: number): readonly SpringSettingRow[] {
    return this.selectSprings
      .all({ conveyor, takeup, toMs })
      .map(({ setting, ...row }) => ({ ...row, setting: JSON.parse(setting) as SpringSettingRow['setting'] }));
  }

  private warmth(signal: string, { fromMs, toMs, widthMs }: ConveyorCourseQuery): TemperatureSeries {
    const place = GRAINS_MS.findLastIndex((grainMs) => grainMs <= widthMs && widthMs % grainMs === 0);
    const range = { fromMs: Math.floor(fromMs / widthMs) * widthMs, toMs: Math.ceil(toMs / widthMs) * widthMs };
    const rows = toMs > fromMs ? (this.selectWarmth[Math.max(0, place)]?.all({ signal, widthMs, ...range }) ?? []) : [];
    return temperatureColumns(signal, rows, widthMs);
  }

  private running({ conveyor, fromMs, toMs, widthMs, heardToMs = -Infinity }: ConveyorCourseQuery): RunningShares {
    const turns = this.selectTurns.all({ conveyor, fromMs, toMs });
    // A state holds until it is heard to be another, but no longer than the agent heard anything of the conveyor.
    const lastMs = this.selectLast.get(conveyor);
    const minutesToMs = typeof lastMs === 'number' ? lastMs + MINUTE_MS : -Infinity;
    const knownToMs = Math.max(minutesToMs, heardToMs, turns.at(-1)?.timeMs ?? -Infinity);
    return runningShares(turns, { fromMs, toMs, widthMs }, knownToMs);
  }
}

/** A temperature's points in columns, with an empty one wherever nothing was read. */
export function temperatureColumns(signal: string, points: readonly WarmthPoint[], widthMs: number): TemperatureSeries {
  const isGap = isGapAfter(
    points.map(([timeMs]) => timeMs),
    widthMs,
  );
  const rows = points.flatMap((row, i): readonly WarmthPoint[] =>
    isGap(i) ? [row, [row[0] + widthMs, 0, null, null, null, null]] : [row],
  );
  return {
    signal,
    timeMs: rows.map(([timeMs]) => timeMs),
    count: rows.map(([, count]) => count),
    minC: rows.map(([, , min]) => min),
    maxC: rows.map(([, , , max]) => max),
    meanC: rows.map(([, , , , mean]) => mean),
    chainC: rows.map(([, , , , , chain]) => chain),
  };
}

function pointsOf(table: string): string {
  const { count, minC, maxC, meanC, chainC } = WARMTH_ROLLED_UP;
  return `SELECT time_ms - time_ms % @widthMs, ${[count, minC, maxC, meanC, chainC].join(', ')}
    FROM ${table} WHERE signal = (SELECT id FROM signal WHERE name = @signal) AND time_ms >= @fromMs AND time_ms < @toMs
    GROUP BY 1 ORDER BY 1`;
}
