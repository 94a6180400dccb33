import type { TimeWindow } from './time-window.js';

/** What a take-up's history is drawn of. */
export const QUANTITIES = ['position', 'spring', 'tension', 'heat'] as const;
export type Quantity = (typeof QUANTITIES)[number];

/** One stretch of one quantity, in the program's own unit. NaN where not known. */
export interface Spread {
  readonly min: number;
  readonly max: number;
  readonly mean: number;
}

/** What is known of one stretch of time, a pixel wide or so. */
export interface HistoryRow {
  readonly timeMs: number;
  readonly values: Readonly<Partial<Record<Quantity, Spread>>>;
}

/** A stretch of a take-up's history. */
export interface HistoryStretch {
  /** Width of a row. */
  readonly widthMs: number;
  /** In order of time; a row without values stands where nothing was read. */
  readonly rows: readonly HistoryRow[];
}

export const NOTHING: HistoryStretch = { widthMs: 60_000, rows: [] };

/** One value heard live is a stretch of its own. */
export function spreadOf(value: number): Spread {
  return { min: value, max: value, mean: value };
}

/** Two rows are joined by a line where they lie no further apart than this many widths. */
const JOINED_WIDTHS = 2.5;

/**
 * What was read from the store and what was heard since, in one order: the store's rows first, then what is later than they are, with
 * a row without values wherever nothing was heard for longer than is usual.
 *
 * @param heard - in order of time
 * @param silenceMs - so long without a value is a gap in what was heard
 */
export function joinHistory(stored: HistoryStretch, heard: readonly HistoryRow[], silenceMs: number): HistoryStretch {
  const lastMs = stored.rows.at(-1)?.timeMs ?? -Infinity;
  // A row of the store covers its width: what was heard within it is in it already.
  const later = heard.filter(({ timeMs }) => timeMs >= lastMs + stored.widthMs);
  const rows = [...stored.rows];
  let beforeMs = lastMs;
  for (const row of later) {
    const apart = beforeMs === lastMs ? Math.max(silenceMs, JOINED_WIDTHS * stored.widthMs) : silenceMs;
    if (Number.isFinite(beforeMs) && row.timeMs - beforeMs > apart) rows.push({ timeMs: beforeMs + 1, values: {} });
    rows.push(row);
    beforeMs = row.timeMs;
  }
  return { widthMs: stored.widthMs, rows };
}

/** The rows of a window, with one more on either side so that lines run to its edges. */
export function rowsIn({ rows }: HistoryStretch, { fromMs, toMs }: TimeWindow): readonly HistoryRow[] {
  const first = rows.findIndex(({ timeMs }) => timeMs >= fromMs);
  if (first < 0) return rows.slice(-1);
  const after = rows.findIndex(({ timeMs }) => timeMs > toMs);
  return rows.slice(Math.max(0, first - 1), after < 0 ? rows.length : after + 1);
}

/** Which quantities have a value anywhere. */
export function quantitiesOf({ rows }: HistoryStretch): readonly Quantity[] {
  return QUANTITIES.filter((quantity) => rows.some(({ values }) => !Number.isNaN(values[quantity]?.mean ?? NaN)));
}
