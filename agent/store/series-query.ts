import type { Database, Statement } from 'better-sqlite3';
import { LocalDays } from '../units/local-day.js';
import type { PositionSeries, SeriesQuery, SeriesSource } from './series.js';
import { DAY_MS, HOUR_MS, ROLLED_UP } from './sqlite-roll-ups.js';

const MINUTE_MS = 60_000;

type Known = number | null;
type Row = readonly [timeMs: number, count: number, min: Known, max: Known, mean: Known, springMin: Known, tension: Known];

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

/** From the coarsest to the finest. */
const ROLL_UPS: readonly RollUp[] = [
  { source: 'days', table: 'day', grainMs: DAY_MS },
  { source: 'hours', table: 'hour', grainMs: HOUR_MS },
  { source: 'minutes', table: 'minute', grainMs: MINUTE_MS },
];

/** Draws positions from the coarsest roll-up that is still finer than a pixel. */
export class PositionSeriesQuery {
  private readonly select: ReadonlyMap<string, Statement<[Stretch], Row>>;
  private readonly selectSettled: Statement<[object], SettledRow>;

  constructor(db: Database) {
    this.select = new Map(ROLL_UPS.map(({ table }) => [table, db.prepare<[Stretch], Row>(pointsOf(table)).raw()]));
    this.selectSettled = db.prepare(
      `SELECT date, position_mm AS mm FROM settled_day
       WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup) AND date BETWEEN @fromDate AND @toDate`,
    );
  }

  /** @throws RangeError where `px` is no whole number from 2 on, or the time zone is none */
  read(query: SeriesQuery): PositionSeries {
    const { conveyor, takeup, fromMs, toMs, px } = query;
    if (!Number.isInteger(px) || px < 2) throw new RangeError(`a series cannot be drawn in ${px} pixels`);
    const { rollUp, widthMs } = finerThan(Math.max(0, toMs - fromMs) / (px - 1));
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
    return columnsOf(rollUp.source, widthMs, withGaps(rows, widthMs), settled);
  }

  /** Finds the settled value of a point by its start. */
  private settledIn({ conveyor, takeup, timezone = 'UTC' }: SeriesQuery, rows: readonly Row[], widthMs: number): (timeMs: number) => Known {
    const days = new LocalDays(timezone);
    const [first, last] = [rows[0], rows.at(-1)];
    if (!first || !last) return () => null;
    const range = { conveyor, takeup, fromDate: days.dateOf(first[0]), toDate: days.dateOf(last[0] + widthMs) };
    const byDate = new Map(this.selectSettled.all(range).map(({ date, mm }) => [date, mm]));
    return (timeMs) => {
      const within: number[] = [];
      // The middle of a point that is narrower than a day tells its day; a wider one holds several.
      for (let at = timeMs + Math.min(widthMs, DAY_MS) / 2; at < timeMs + widthMs; at += DAY_MS) {
        const mm = byDate.get(days.dateOf(at));
        if (typeof mm === 'number') within.push(mm);
      }
      return within.length === 0 ? null : within.reduce((sum, mm) => sum + mm, 0) / within.length;
    };
  }
}

/** The coarsest roll-up that fits into a pixel, and the least whole number of its rows that a pixel is not wider than. */
function finerThan(pixelMs: number): { readonly rollUp: RollUp; readonly widthMs: number } {
  const finest = ROLL_UPS.at(-1) as RollUp;
  const rollUp = ROLL_UPS.find(({ grainMs }) => grainMs <= pixelMs) ?? finest;
  return { rollUp, widthMs: Math.max(1, Math.ceil(pixelMs / rollUp.grainMs)) * rollUp.grainMs };
}

/** Puts an empty row wherever neighbours are further apart than what is read so often can be. */
function withGaps(rows: readonly Row[], widthMs: number): readonly Row[] {
  const steps = rows.slice(1).map(([timeMs], i) => timeMs - (rows[i] as Row)[0]);
  const usualMs = steps.length === 0 ? widthMs : (steps.toSorted((a, b) => a - b)[steps.length >> 1] as number);
  // A sensor that is read more seldom than once a point has no gap beside every reading.
  const longestMs = usualMs > widthMs ? 1.5 * usualMs : widthMs;
  return rows.flatMap((row, i) => ((steps[i] ?? 0) > longestMs ? [row, [row[0] + widthMs, 0, null, null, null, null, null]] : [row]));
}

function columnsOf(source: SeriesSource, widthMs: number, rows: readonly Row[], settledOf: (timeMs: number) => Known): PositionSeries {
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
  };
}

function pointsOf(table: string): string {
  const { count, minMm, maxMm, meanMm, springMinMm, tensionN } = ROLLED_UP;
  return `SELECT time_ms - time_ms % @widthMs, ${[count, minMm, maxMm, meanMm, springMinMm, tensionN].join(', ')}
    FROM ${table}
    WHERE takeup_id = (SELECT id FROM takeup WHERE conveyor = @conveyor AND takeup = @takeup)
      AND time_ms >= @fromMs AND time_ms < @toMs
    GROUP BY 1 ORDER BY 1`;
}
