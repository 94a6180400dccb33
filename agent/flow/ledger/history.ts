import { medianOf } from '../../units/quantile.js';
import { fromSaved, toSaved, type SavedNumber } from '../../units/saved.js';
import { isPacked, packed, packedRows, WINDOW_NUMBERS } from './packed-windows.js';
import { fromShelf, recordOf, toShelf, type PastDay, type PastShelf, type ShelvedDay } from './past-day.js';
import type { WindowRecord } from './window-record.js';

/** Windows are kept one by one for so long: an entry explains a step up to a day either side, and a stop over a weekend is in between. */
const FINE_MS = 4 * 24 * 3600_000;

/** So many windows of the day are laid together; the last ones stand by themselves, and may still be replaced. */
const TOGETHER = 24;

export interface HistorySaved {
  readonly dates: readonly string[];
  readonly rows: readonly (readonly SavedNumber[])[];
  /** Days that are over and have their windows one by one yet, with their ends. Not in states saved by early versions. */
  readonly fine?: readonly (readonly [date: string, toMs: number])[];
  /** Only the day of the last window is here: the days before it lie on a shelf. */
  readonly onShelf?: true;
}

/** Days that go onto the shelf with a checkpoint. */
export interface ShelfChange {
  /** What lies there is of something else, and goes first. */
  readonly anew: boolean;
  readonly days: readonly ShelvedDay[];
}

/** Which windows of a history are meant. */
export type HistorySpan = 'all' | 'last-day';

type Suits = (window: WindowRecord) => boolean;
const ANY: Suits = () => true;

/**
 * The settled windows of one take-up: the last days window by window, the days before drawn together. In memory are those of the day of
 * the last window, and of the days before it those that no shelf has.
 */
export class History {
  private today: WindowRecord[] = [];
  /** Days that are over and on no shelf, or are there as they were before they were drawn together; by date, oldest first. */
  private kept: PastDay[] = [];
  /** Days that are over and not drawn together yet. */
  private fine: { readonly date: string; readonly toMs: number }[] = [];
  private usesShelf: boolean;

  constructor(
    saved?: HistorySaved,
    private readonly shelf?: PastShelf,
  ) {
    for (const { date, rows } of daysOf(saved)) {
      this.endToday();
      // The last window stands by itself, and may still be replaced.
      const alone = rows.length > TOGETHER ? rows.slice(-1) : rows;
      const together = rows.slice(0, rows.length - alone.length);
      this.today = [
        ...(together.length > 0 ? packedRows(date, together) : []),
        ...alone.map((row) => recordOf(date, (column) => fromSaved(row[column]))),
      ];
      this.layTogether(date);
    }
    this.usesShelf = shelf !== undefined && saved?.onShelf === true;
    const fineDays = this.kept.filter(({ windows }) => windows.every((window) => window.windows === 1));
    this.fine = saved?.fine?.map(([date, toMs]) => ({ date, toMs })) ?? fineDays.map((day) => ({ date: day.date, toMs: endOf(day) }));
  }

  get last(): WindowRecord | undefined {
    return this.today.at(-1);
  }

  get beforeLast(): WindowRecord | undefined {
    const [first] = this.today;
    if (first === undefined || this.today.length > 1) return this.today.at(-2);
    return this.pastBefore(first.fromMs)?.windows.at(-1);
  }

  add(record: WindowRecord): void {
    if (this.last !== undefined && this.last.date !== record.date) this.endToday();
    this.today.push(record);
    this.layTogether(record.date);
  }

  /** Puts another in the place of the last one: what it was paired with has come in since. */
  replaceLast(record: WindowRecord): void {
    this.today[this.today.length - 1] = record;
  }

  private endToday(): void {
    const { today } = this;
    const [last] = today.slice(-1);
    if (last === undefined) return;
    this.keep({ date: last.date, windows: today.length > 1 ? packed(today) : today });
    this.fine.push({ date: last.date, toMs: last.toMs });
    this.today = [];
  }

  private keep(day: PastDay): void {
    const at = this.kept.findIndex(({ date }) => date >= day.date);
    if (at < 0) this.kept.push(day);
    else this.kept.splice(at, this.kept[at]?.date === day.date ? 1 : 0, day);
  }

  private layTogether(date: string): void {
    const { today } = this;
    const loose = today.findIndex((window) => !isPacked(window));
    if (loose >= 0 && today.length - loose > TOGETHER && today[loose]?.date === date)
      today.splice(loose, TOGETHER, ...packed(today.slice(loose, loose + TOGETHER)));
  }

  /**
   * Draws together the days that have grown old.
   * @param cuts - times at which the chain, a nut or a sensor changed: no record lies across one
   * @returns the days that have fewer records now
   */
  condense(nowMs: number, cuts: readonly number[]): readonly string[] {
    const old = this.fine.filter(({ toMs }) => toMs < nowMs - FINE_MS);
    this.fine = this.fine.filter(({ toMs }) => toMs >= nowMs - FINE_MS);
    return old.flatMap(({ date }) => {
      const windows = this.ofDate(date);
      const drawn = drawnTogether(windows, cuts);
      if (drawn.length === windows.length) return [];
      this.keep({ date, windows: drawn });
      return [date];
    });
  }

  /** Whether a day may still change: it is not over, or not drawn together yet. */
  isOpen(date: string): boolean {
    return this.last?.date === date || this.fine.some((day) => day.date === date);
  }

  /** The windows of a day, as they stand. */
  ofDate(date: string): readonly WindowRecord[] {
    if (this.last?.date === date) return this.today;
    const kept = this.kept.find((day) => day.date === date);
    if (kept) return kept.windows;
    const fine = this.fine.find((day) => day.date === date);
    return this.daysSince(fine === undefined ? -Infinity : fine.toMs - 1).find((day) => day.date === date)?.windows ?? [];
  }

  /** Every day with a window that ended after a time, oldest first. */
  daysSince(timeMs: number): readonly PastDay[] {
    const kept = this.kept.filter((day) => endOf(day) > timeMs);
    const shelved = this.usesShelf ? (this.shelf as PastShelf).since(timeMs).map(fromShelf) : [];
    const past = kept.length === 0 ? shelved : [...shelved.filter(({ date }) => kept.every((day) => day.date !== date)), ...kept];
    if (kept.length > 0 && shelved.length > 0) past.sort((a, b) => (a.date < b.date ? -1 : 1));
    const { last, today } = this;
    return last !== undefined && last.toMs > timeMs ? [...past, { date: last.date, windows: today }] : past;
  }

  /** All windows, oldest first: where there is a shelf, that is looked through whole. */
  get all(): readonly WindowRecord[] {
    return this.daysSince(-Infinity).flatMap(({ windows }) => windows);
  }

  /** The latest window that ended by a time and suits. */
  lastUntil(timeMs: number, suits: Suits = ANY): WindowRecord | undefined {
    for (let day = this.dayBefore(timeMs); day !== undefined; day = this.dayBefore((day.windows[0] as WindowRecord).fromMs)) {
      const found = day.windows.findLast((window) => window.toMs <= timeMs && suits(window));
      if (found) return found;
    }
    return undefined;
  }

  /** The first window that began at a time or later, and suits. */
  firstFrom(timeMs: number, suits: Suits = ANY): WindowRecord | undefined {
    for (let day = this.dayAfter(timeMs); day !== undefined; day = this.dayAfter(endOf(day))) {
      const found = day.windows.find((window) => window.fromMs >= timeMs && suits(window));
      if (found) return found;
    }
    return undefined;
  }

  /** The latest day with a window that began before a time. */
  dayBefore(timeMs: number): PastDay | undefined {
    const [first] = this.today;
    return first !== undefined && first.fromMs < timeMs ? { date: first.date, windows: this.today } : this.pastBefore(timeMs);
  }

  private pastBefore(timeMs: number): PastDay | undefined {
    const kept = this.kept.findLast(({ windows }) => (windows[0] as WindowRecord).fromMs < timeMs);
    const shelved = this.usesShelf ? this.shelf?.before(timeMs) : undefined;
    return shelved !== undefined && (kept === undefined || shelved.date > kept.date) ? fromShelf(shelved) : kept;
  }

  private dayAfter(timeMs: number): PastDay | undefined {
    const { last, today } = this;
    // Without a window after the time today there is none in the past either.
    if (last === undefined || last.toMs <= timeMs) return undefined;
    const kept = this.kept.find((day) => endOf(day) > timeMs);
    const shelved = this.usesShelf ? this.shelf?.after(timeMs) : undefined;
    if (shelved !== undefined && (kept === undefined || shelved.date < kept.date)) return fromShelf(shelved);
    return kept ?? { date: last.date, windows: today };
  }

  /** What goes onto the shelf with the next checkpoint; undefined where it has everything. */
  toShelve(): ShelfChange | undefined {
    if (this.usesShelf && this.kept.length === 0) return undefined;
    return { anew: !this.usesShelf, days: this.kept.map(toShelf) };
  }

  /** The shelf, where there is one, has the days that `toShelve` gave. @param change - what it gave */
  shelved(change: ShelfChange): void {
    if (this.shelf === undefined) return;
    this.usesShelf = true;
    const put = new Map(change.days.map((day) => [day.date, day.numbers.length]));
    // A day that was drawn together meanwhile is another one.
    this.kept = this.kept.filter(({ date, windows }) => put.get(date) !== windows.length * WINDOW_NUMBERS.length);
  }

  save(span: HistorySpan = 'all'): HistorySaved {
    const saved = span === 'all' ? this.all : this.today;
    return {
      dates: saved.map(({ date }) => date),
      rows: saved.map((record) => WINDOW_NUMBERS.map((field) => toSaved(record[field]))),
      fine: this.fine.map(({ date, toMs }) => [date, toMs] as const),
      ...(span === 'all' ? {} : { onShelf: true as const }),
    };
  }
}

/** A saved day beside its shelf, as one whole. */
export function wholeHistory(saved: HistorySaved, shelf: PastShelf): HistorySaved {
  return saved.onShelf ? new History(saved, shelf).save() : saved;
}

function endOf({ windows }: PastDay): number {
  return (windows[windows.length - 1] as WindowRecord).toMs;
}

interface SavedDay {
  readonly date: string;
  readonly rows: (readonly SavedNumber[])[];
}

function daysOf(saved: HistorySaved | undefined): readonly SavedDay[] {
  const days: SavedDay[] = [];
  saved?.rows.forEach((row, index) => {
    const date = saved.dates[index] ?? '';
    if (days.at(-1)?.date !== date) days.push({ date, rows: [] });
    days.at(-1)?.rows.push(row);
  });
  return days;
}

function drawnTogether(windows: readonly WindowRecord[], cuts: readonly number[]): readonly WindowRecord[] {
  const drawn: WindowRecord[] = [];
  for (let i = 0; i < windows.length;) {
    const first = windows[i] as WindowRecord;
    let end = i + 1;
    while (end < windows.length && !cuts.some((cut) => cut > first.fromMs && cut <= (windows[end] as WindowRecord).toMs)) end++;
    drawn.push(end === i + 1 ? first : drawTogether(windows.slice(i, end)));
    i = end;
  }
  return drawn;
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
