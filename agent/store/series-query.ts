import type { Database, Statement } from 'better-sqlite3';
import { LocalDates } from '../units/local-dates.js';
import type { PositionSeries, SeriesQuery, SeriesSource } from './series.js';
import { isGapAfter, MINUTE_MS } from './gaps.js';
import { DAY_MS, HOUR_MS, ROLLED_UP } from './sqlite-roll-ups.js';

type Known = number | null;
/** A point as it is drawn together, before it stands in columns. */
export type PositionPoint = readonly [
  ...[timeMs: number, count: number, min: Known, max: Known, mean: Known],
  ...[springMin: Known, tension: Known, tensionMin: Known, tensionMax: Known],
];

interface Stretch {
  readonly conveyor: string;
  readonly takeup: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly widthMs: number;
}

interface SettledRow {
  readonly date: string;
  readonly mm: Known;
}

/** A roll-up: the table and the width of its rows. */
interface RollUp {
  readonly source: SeriesSource;
  readonly table: string;
  readonly grainMs: number;
}

interface Grain {
  readonly rollUp: RollUp;
  readonly widthMs: number;
}

/** From the coarsest to the finest. */
const ROLL_UPS: readonly RollUp[] = [
  { source: 'days', table: 'day', grainMs: DAY_MS },
  { source: 'hours', table: 'hour', grainMs: HOUR_MS },
  { source: 'minutes', table: 'minute', grainMs: MINUTE_MS },
];

/** Draws positions from the coarsest roll-up that is still finer than a pixel. */
export class PositionSeriesQuery {
  private readonly select: ReadonlyMap<string, Statement<[Stretch], PositionPoint>>;
  private readonly selectFirst: Statement<[object], { readonly minuteMs: number | null; readonly hourMs: number | null }>;
  private readonly selectSettled: Statement<[object], SettledRow>;

  constructor(db: Database) {
    this.select = new Map(ROLL_UPS.map(({ table }) => [table, db.prepare<[Stretch], PositionPoint>(pointsOf(table)).raw()]));
    this.selectFirst = db.prepare(
      `SELECT (SELECT min(time_ms) FROM minute WHERE takeup_id = takeup.id) AS minuteMs,
         (SELECT min(time_ms) FROM hour WHERE takeup_id = takeup.id AND time_ms + ${HOUR_MS} > @fromMs) AS hourMs
       FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup`,
    );
    this.selectSettled = db.prepare(
      `SELECT date, position_mm AS mm FROM settled_day
       WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup) AND date BETWEEN @fromDate AND @toDate`,
    );
  }

  /** @throws RangeError where `px` is no whole number from 2 on, or the time zone is none */
  read(query: SeriesQuery): PositionSeries {
    const { conveyor, takeup, fromMs, toMs, px } = query;
    if (!Number.isInteger(px) || px < 2) throw new RangeError(`a series cannot be drawn in ${px} pixels`);
    const { rollUp, widthMs } = this.stillKept(query, finerThan(Math.max(0, toMs - fromMs) / (px - 1)));
    // Points lie on whole multiples of their width, so that a picture that is moved along shows the same ones again.
    const stretch = {
      conveyor,
      takeup,
      widthMs,
      fromMs: Math.floor(fromMs / widthMs) * widthMs,
      toMs: Math.ceil(toMs / widthMs) * widthMs,
    };
    const rows = toMs > fromMs ? (this.select.get(rollUp.table)?.all(stretch) ?? []) : [];
    const settled = this.settledIn(query, rows, widthMs);
    return positionColumns(rollUp.source, widthMs, rows, settled);
  }

  /** Minutes go after a while and hours stay: a stretch that begins before the first minute is drawn from the hours. */
  private stillKept({ conveyor, takeup, fromMs, toMs }: SeriesQuery, wanted: Grain): Grain {
    if (wanted.rollUp.source !== 'minutes') return wanted;
    const { minuteMs = null, hourMs = null } = this.selectFirst.get({ conveyor, takeup, fromMs }) ?? {};
    const isGone = hourMs !== null && hourMs < toMs && (minuteMs === null || hourMs + HOUR_MS <= minuteMs);
    return isGone ? grainOf('hours', wanted.widthMs) : wanted;
  }

  /** Finds the settled value of a point by its start. */
  private settledIn(
    { conveyor, takeup, timezone = 'UTC' }: SeriesQuery,
    rows: readonly PositionPoint[],
    widthMs: number,
  ): (timeMs: number) => Known {
    const dates = new LocalDates(timezone);
    const [first, last] = [rows[0], rows.at(-1)];
    if (!first || !last) return () => null;
    const range = { conveyor, takeup, fromDate: dates.of(first[0]), toDate: dates.of(last[0] + widthMs) };
    const byDate = new Map(this.selectSettled.all(range).map(({ date, mm }) => [date, mm]));
    return (timeMs) => {
      const within: number[] = [];
      // The middle of a point that is narrower than a day tells its day; a wider one holds several.
      for (let at = timeMs + Math.min(widthMs, DAY_MS) / 2; at < timeMs + widthMs; at += DAY_MS) {
        const mm = byDate.get(dates.of(at));
        if (typeof mm === 'number') within.push(mm);
      }
      return within.length === 0 ? null : within.reduce((sum, mm) => sum + mm, 0) / within.length;
    };
  }
}

/** The coarsest roll-up that fits into a pixel, and the least whole number of its rows that a pixel is not wider than. */
function finerThan(pixelMs: number): Grain {
  return grainOf(ROLL_UPS.find(({ grainMs }) => grainMs <= pixelMs)?.source ?? 'minutes', pixelMs);
}

function grainOf(source: SeriesSource, pixelMs: number): Grain {
  const rollUp = ROLL_UPS.find((one) => one.source === source) as RollUp;
  return { rollUp, widthMs: Math.max(1, Math.ceil(pixelMs / rollUp.grainMs)) * rollUp.grainMs };
}

/** Puts an empty row wherever neighbours are further apart than what is read so often can be. */
function withGaps(rows: readonly PositionPoint[], widthMs: number): readonly PositionPoint[] {
  const isGap = isGapAfter(
    rows.map(([timeMs]) => timeMs),
    widthMs,
  );
  return rows.flatMap((row, i) => (isGap(i) ? [row, [row[0] + widthMs, 0, null, null, null, null, null, null, null]] : [row]));
}

/**
 * Points in columns, with an empty one wherever nothing was read.
 *
 * @param settledOf - the settled value of a point, by its start
 */
export function positionColumns(
  source: SeriesSource,
  widthMs: number,
  points: readonly PositionPoint[],
  settledOf: (timeMs: number) => Known,
): PositionSeries {
  const rows = withGaps(points, widthMs);
  return {
    source,
    widthMs,
    timeMs: rows.map(([timeMs]) => timeMs),
    count: rows.map(([, count]) => count),
    minMm: rows.map(([, , min]) => min),
    maxMm: rows.map(([, , , max]) => max),
    meanMm: rows.map(([, , , , mean]) => mean),
    settledMm: rows.map(([timeMs, count]) => (count === 0 ? null : settledOf(timeMs))),
    springMinMm: rows.map(([, , , , , springMin]) => springMin),
    tensionN: rows.map(([, , , , , , tension]) => tension),
    tensionMinN: rows.map(([, , , , , , , least]) => least),
    tensionMaxN: rows.map(([, , , , , , , , most]) => most),
  };
}

function pointsOf(table: string): string {
  const { count, minMm, maxMm, meanMm, springMinMm, tensionN, tensionMinN, tensionMaxN } = ROLLED_UP;
  return `SELECT time_ms - time_ms % @widthMs, ${[count, minMm, maxMm, meanMm, springMinMm, tensionN, tensionMinN, tensionMaxN].join(', ')}
    FROM ${table}
    WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup)
      AND time_ms >= @fromMs AND time_ms < @toMs
    GROUP BY 1 ORDER BY 1`;
}
