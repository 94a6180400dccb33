import type { CoarseReason, SeriesAnswer } from '../../server/logic/answers.js';
import type { TimeWindow } from './time-window.js';

/** What a take-up's history is drawn of, beside the temperatures of its conveyor. */
export const QUANTITIES = ['position', 'spring', 'tension', 'heat'] as const;
/** A temperature goes by the name of its signal. */
export type Quantity = (typeof QUANTITIES)[number] | `temperature ${string}`;

/** One stretch of one quantity, in the program's own unit. NaN where not known. */
export interface Spread {
  readonly min: number;
  readonly max: number;
  readonly mean: number;
  /** Of a temperature: how warm the chain was, where it follows late. */
  readonly chain?: number;
}

/** What is known of one stretch of time, a pixel wide or so. */
export interface HistoryRow {
  readonly timeMs: number;
  /** What is absent was not asked for at this time; what is NaN was not read. */
  readonly values: Readonly<Partial<Record<Quantity, Spread>>>;
  readonly running?: RunningPart;
}

/** Which share of a stretch a conveyor ran and stood, 0…1; the rest is not known. */
export interface RunningPart {
  readonly fromMs: number;
  readonly toMs: number;
  readonly ran: number;
  readonly stood: number;
}

/** A stretch of a take-up's history. */
export interface HistoryStretch {
  /** Width of a row. */
  readonly widthMs: number;
  /** In order of time; a row of unknown values stands where nothing was read. */
  readonly rows: readonly HistoryRow[];
  /** In order of time, one behind the other; null where the conveyor has no running signal. */
  readonly running: readonly RunningPart[] | null;
  readonly source: SeriesAnswer['source'];
  readonly coarse?: CoarseReason;
}

export const NOTHING: HistoryStretch = { widthMs: 60_000, rows: [], running: null, source: 'minutes' };

const UNKNOWN: Spread = { min: NaN, max: NaN, mean: NaN };
const SILENT: HistoryRow['values'] = { position: UNKNOWN, spring: UNKNOWN, tension: UNKNOWN };

/** One value heard live is a stretch of its own. */
export function spreadOf(value: number): Spread {
  return { min: value, max: value, mean: value };
}

type Known = number | null | undefined;

function spread(mean: Known, min: Known, max: Known): Spread {
  return typeof mean === 'number' ? { min: min ?? mean, max: max ?? mean, mean } : UNKNOWN;
}

/** The rows of what the server answered: each with all that is known of its time. */
export function stretchOf(answer: SeriesAnswer): HistoryStretch {
  const { widthMs, source, coarse, running } = answer;
  const rows = new Map<number, Partial<Record<Quantity, Spread>>>();
  answer.timeMs.forEach((timeMs, i) => {
    rows.set(timeMs, {
      position: spread(answer.meanMm[i], answer.minMm[i], answer.maxMm[i]),
      spring: spread(answer.springMinMm[i], null, null),
      tension: spread(answer.tensionN[i], answer.tensionMinN[i], answer.tensionMaxN[i]),
    });
  });
  for (const { signal, timeMs, meanC, minC, maxC, chainC } of answer.temperatures) {
    timeMs.forEach((ms, i) => {
      const row = rows.get(ms) ?? {};
      rows.set(ms, row);
      const chain = chainC[i];
      row[`temperature ${signal}`] = { ...spread(meanC[i], minC[i], maxC[i]), ...(typeof chain === 'number' ? { chain } : {}) };
    });
  }
  const parts = running === null ? null : partsOf(running);
  const inOrder = [...rows].sort(([a], [b]) => a - b);
  return {
    ...{ widthMs, source, running: parts, ...(coarse === undefined ? {} : { coarse }) },
    rows: inOrder.map(([timeMs, values]) => {
      const part = running === null ? undefined : parts?.[Math.round((timeMs - running.fromMs) / widthMs)];
      return { timeMs, values, ...(part === undefined ? {} : { running: part }) };
    }),
  };
}

function partsOf({ fromMs, widthMs, ran, stood }: NonNullable<SeriesAnswer['running']>): readonly RunningPart[] {
  return ran.map((share, i) => ({
    ...{ fromMs: fromMs + i * widthMs, toMs: fromMs + (i + 1) * widthMs },
    ...{ ran: share, stood: stood[i] ?? 0 },
  }));
}

/** Two rows are joined by a line where they lie no further apart than this many widths. */
const JOINED_WIDTHS = 2.5;

/**
 * What was read from the store and what was heard since, in one order: the store's rows first, then what is later than they are, with
 * a row of unknown values wherever nothing was heard for longer than is usual.
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
    if (Number.isFinite(beforeMs) && row.timeMs - beforeMs > apart) rows.push({ timeMs: beforeMs + 1, values: SILENT });
    rows.push(row);
    beforeMs = row.timeMs;
  }
  return { ...stored, rows, running: joinRunning(stored.running, later, silenceMs) };
}

function joinRunning(stored: HistoryStretch['running'], heard: readonly HistoryRow[], silenceMs: number): HistoryStretch['running'] {
  if (stored === null) return null;
  const known = stored.slice(0, stored.findLastIndex(({ ran, stood }) => ran + stood > 0) + 1);
  const endMs = known.at(-1)?.toMs ?? -Infinity;
  const later = heard.flatMap(({ running }) => (running !== undefined && running.fromMs >= endMs ? [running] : []));
  // What was heard holds until the next is.
  const held = later.map((part, i) => ({ ...part, toMs: Math.min(later[i + 1]?.fromMs ?? part.toMs, part.fromMs + silenceMs) }));
  const [first] = held;
  const joined = first !== undefined && first.fromMs - endMs <= silenceMs ? [{ ...first, fromMs: endMs }, ...held.slice(1)] : held;
  return [...known, ...joined];
}

/** The rows of a window, with one more on either side so that lines run to its edges. */
export function rowsIn({ rows }: HistoryStretch, { fromMs, toMs }: TimeWindow): readonly HistoryRow[] {
  const first = rows.findIndex(({ timeMs }) => timeMs >= fromMs);
  if (first < 0) return rows.slice(-1);
  const after = rows.findIndex(({ timeMs }) => timeMs > toMs);
  return rows.slice(Math.max(0, first - 1), after < 0 ? rows.length : after + 1);
}

/** Whether anything is known of a row. */
export function isKnown({ values }: HistoryRow): boolean {
  return Object.values(values).some((value) => value !== undefined && !Number.isNaN(value.mean));
}

/** Which quantities have a value anywhere: the take-up's own, then temperatures by name. */
export function quantitiesOf({ rows }: HistoryStretch): readonly Quantity[] {
  const known = new Set<Quantity>();
  for (const { values } of rows)
    for (const [quantity, value] of Object.entries(values)) if (!Number.isNaN(value?.mean ?? NaN)) known.add(quantity as Quantity);
  const own = QUANTITIES.filter((quantity) => known.has(quantity));
  return [...own, ...[...known].filter((quantity) => quantity.startsWith('temperature ')).toSorted()];
}
