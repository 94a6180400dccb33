import { medianOf } from '../../units/quantile.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { isPacked, packed, WINDOW_NUMBERS } from './packed-windows.js';
import type { WindowRecord } from './window-record.js';

/** Windows are kept one by one for so long: an entry explains a step up to a day either side, and a stop over a weekend is in between. */
const FINE_MS = 4 * 24 * 3600_000;

/** So many windows are laid together; the last ones stand by themselves, and may still be replaced. */
const TOGETHER = 64;
/** So many days long past, each drawn together to one, are laid together. */
const DAYS_TOGETHER = 32;

export interface HistorySaved {
  readonly dates: readonly string[];
  readonly rows: readonly (readonly SavedNumber[])[];
}

/** Past and last day of a history, saved apart, as one. */
export function historyOf(past: HistorySaved | undefined, last: HistorySaved): HistorySaved {
  return past === undefined ? last : { dates: [...past.dates, ...last.dates], rows: [...past.rows, ...last.rows] };
}

/** Which windows of a history are meant. */
export type HistorySpan = 'all' | 'past' | 'last-day';

/** The settled windows of one take-up: the last days window by window, the days before drawn together. */
export class History {
  private records: WindowRecord[];
  private timesCondensed = 0;

  constructor(saved?: HistorySaved) {
    this.records = saved ? saved.rows.map((row, index) => loadRecord(saved.dates[index] ?? '', row)) : [];
    this.layTogether();
  }

  get all(): readonly WindowRecord[] {
    return this.records;
  }

  add(record: WindowRecord): void {
    this.records.push(record);
    this.layTogether();
  }

  /** Puts another in the place of the last one: what it was paired with has come in since. */
  replaceLast(record: WindowRecord): void {
    this.records[this.records.length - 1] = record;
  }

  /**
   * Draws together what has grown old, day by day.
   * @param cuts - times at which the chain, a nut or a sensor changed: no record lies across one
   */
  condense(nowMs: number, cuts: readonly number[]): void {
    const old = nowMs - FINE_MS;
    let i = 0;
    const condensed: WindowRecord[] = [];
    while (i < this.records.length && (this.records[i] as WindowRecord).toMs < old) {
      const first = this.records[i] as WindowRecord;
      let end = i + 1;
      while (end < this.records.length && together(first, this.records[end] as WindowRecord, old, cuts)) end++;
      condensed.push(end === i + 1 ? first : drawTogether(this.records.slice(i, end)));
      i = end;
    }
    if (condensed.length < i) this.timesCondensed++;
    this.records = [...condensed, ...this.records.slice(i)];
    this.layTogether();
  }

  /**
   * Lays windows together where enough of them stand by themselves. What is laid together stays as it is, so that what was worked out of
   * it holds; the last window always stands by itself.
   */
  private layTogether(): void {
    const { records } = this;
    for (let from = 0; from < records.length; from++) {
      if (isPacked(records[from] as WindowRecord)) continue;
      const next = records.findIndex((record, place) => place > from && isPacked(record));
      const [count, most] = next < 0 ? [records.length - from, TOGETHER] : [next - from, DAYS_TOGETHER];
      if (count > most) records.splice(from, most, ...packed(records.slice(from, from + most)));
      else if (next < 0) return;
      from += Math.min(count, most) - 1;
    }
  }

  /** Windows before the day of the last one: none of them changes but where old ones are drawn together. */
  private get pastCount(): number {
    const date = this.records.at(-1)?.date;
    return this.records.findLastIndex((record) => record.date !== date) + 1;
  }

  /** Tells whether the past is still the one that was saved: as long as this says the same it is. */
  get pastMark(): string {
    const count = this.pastCount;
    return `${String(this.timesCondensed)}/${String(count)}/${String(this.records[count - 1]?.toMs ?? '')}`;
  }

  /** @param span - the past, the day of the last window, or both */
  save(span: HistorySpan = 'all'): HistorySaved {
    const { records, pastCount } = this;
    const saved = span === 'all' ? records : span === 'past' ? records.slice(0, pastCount) : records.slice(pastCount);
    return {
      dates: saved.map(({ date }) => date),
      rows: saved.map((record) => WINDOW_NUMBERS.map((field) => toSaved(record[field]))),
    };
  }
}

function together(first: WindowRecord, next: WindowRecord, oldMs: number, cuts: readonly number[]): boolean {
  return next.date === first.date && next.toMs < oldMs && !cuts.some((cut) => cut > first.fromMs && cut <= next.toMs);
}

function drawTogether(records: readonly WindowRecord[]): WindowRecord {
  const median = (field: (typeof WINDOW_NUMBERS)[number]): number =>
    medianOf(records.map((record) => record[field]).filter((value) => !Number.isNaN(value)));
  const medians = Object.fromEntries(WINDOW_NUMBERS.map((field) => [field, median(field)])) as Record<
    (typeof WINDOW_NUMBERS)[number],
    number
  >;
  const last = records[records.length - 1] as WindowRecord;
  return {
    ...medians,
    date: last.date,
    fromMs: (records[0] as WindowRecord).fromMs,
    toMs: last.toMs,
    runHours: last.runHours,
    count: records.reduce((sum, { count }) => sum + count, 0),
    windows: records.reduce((sum, { windows }) => sum + windows, 0),
    springLeast: Math.min(...records.map(({ springLeast }) => springLeast)),
    springMost: Math.max(...records.map(({ springMost }) => springMost)),
    least: Math.min(...records.map(({ least }) => least)),
    most: Math.max(...records.map(({ most }) => most)),
  };
}

function loadRecord(date: string, row: readonly SavedNumber[]): WindowRecord {
  const numbers = Object.fromEntries(WINDOW_NUMBERS.map((field, index) => [field, fromSaved(row[index])])) as Record<
    (typeof WINDOW_NUMBERS)[number],
    number
  >;
  return { ...numbers, date };
}

/**
 * A saved history for a chain with other take-ups on it: what they had taken up then is counted from another track.
 * @param movedMm - Σ g·x at the reference of those that are new, less that of those that are gone, mm of chain
 */
export function loosened(saved: HistorySaved, movedMm: number): HistorySaved {
  const place = WINDOW_NUMBERS.indexOf('othersTakenUp');
  if (movedMm === 0) return saved;
  return {
    ...saved,
    rows: saved.rows.map((row) => row.map((value, index) => (index === place && typeof value === 'number' ? value + movedMm : value))),
  };
}
