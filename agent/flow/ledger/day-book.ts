import type { SettledDayOutput } from '../output.js';
import type { Account } from './account.js';
import { checksum } from './checksum.js';
import type { History } from './history.js';
import type { PastDay } from './past-day.js';
import { settledDay, type SettledDay } from './settled-day.js';
import { trendDayOf, TrendDays, type TrendDay } from './trend-day.js';
import type { WindowRecord } from './window-record.js';

/** The trend looks so far back, for the warmest of the season; wear and skew look less far. */
const TREND_MS = 400 * 86_400_000;

/** Of a state saved by an early version so many of the last days may have other windows than when they were given out. */
const RECENT_DAYS = 7;

export interface DayBookSaved {
  /** A sum over each row that was given out and may still change, by date. */
  readonly given: Readonly<Record<string, number>>;
  /** Days whose windows are others than when they were given out. Early versions did not keep them, and had every day among the given. */
  readonly changed?: readonly string[];
}

/** The days up to a time, for whoever judges by them. */
export interface DaysSeen {
  readonly last: SettledDay;
  /** The last four hundred days, oldest first, with the last among them. */
  readonly days: readonly TrendDay[];
  /** The rows from the last day back to the first. */
  back(): Iterable<SettledDayOutput>;
}

/**
 * The settled days of one take-up: which of their rows have to be given out, and what the trend looks at. A day that was drawn together and
 * given out changes with the account only: nothing is remembered of it, what it said is worked out by the account as it was.
 */
export class DayBook {
  private readonly given: Map<string, number>;
  private readonly changed: Set<string>;
  /** What the trend looks at, of all days there are, but for those that have changed since. */
  private seen: { readonly account: Account; readonly days: TrendDays } | undefined;
  private latest: { readonly account: Account; readonly day: SettledDay } | undefined;

  /** @param givenBy - the account by which the days were given out; undefined where it is another site's: all are given out again */
  constructor(
    private readonly history: History,
    private readonly takeupIndex: number,
    private givenBy: Account | undefined,
    saved?: DayBookSaved,
  ) {
    const given = Object.entries(saved?.given ?? {});
    const early = given.map(([date]) => date).slice(-RECENT_DAYS);
    this.changed = new Set(saved === undefined ? [] : (saved.changed ?? early));
    this.given = new Map(saved?.changed === undefined ? given.slice(-RECENT_DAYS) : given);
  }

  /** Windows of a day came in, or were drawn together. */
  touch(date: string): void {
    this.changed.add(date);
  }

  /**
   * Gives out the days that are new or say something else, oldest first.
   * @param untilMs - as far as they have windows that ended before it
   */
  give(account: Account, untilMs: number, out: (row: SettledDayOutput) => void): void {
    const { givenBy, history } = this;
    const days =
      givenBy === account
        ? [...this.changed].sort().map((date) => ({ date, windows: history.ofDate(date) }))
        : history.daysSince(-Infinity);
    for (const day of days) this.giveDay(account, day.date, until(day.windows, untilMs), out);
    this.givenBy = account;
  }

  private giveDay(account: Account, date: string, windows: readonly WindowRecord[], out: (row: SettledDayOutput) => void): void {
    if (windows.length === 0) return;
    const day = settledDay(account, this.takeupIndex, date, windows);
    const sum = sumOf(day);
    if (sum !== this.sumGiven(date, windows)) out(day.row);
    this.changed.delete(date);
    if (this.history.isOpen(date)) this.given.set(date, sum);
    else this.given.delete(date);
    this.enter(account, day);
  }

  /** What is not remembered was given out by the account as it was, and its windows are the same. */
  private sumGiven(date: string, windows: readonly WindowRecord[]): number | undefined {
    const known = this.given.get(date);
    if (known !== undefined || this.changed.has(date) || this.givenBy === undefined) return known;
    return sumOf(settledDay(this.givenBy, this.takeupIndex, date, windows));
  }

  private enter(account: Account, day: SettledDay): void {
    if (this.latest?.account !== account || this.latest.day.dayNumber <= day.dayNumber) this.latest = { account, day };
    if (this.seen?.account !== account) return;
    const { dayNumber } = day;
    const days = this.seen.days.toArray();
    const at = days.findIndex((one) => one.dayNumber >= dayNumber);
    if (at < 0) days.push(trendDayOf(day));
    else days.splice(at, days[at]?.dayNumber === dayNumber ? 1 : 0, trendDayOf(day));
    this.seen = { account, days: new TrendDays(recent(days)) };
  }

  /**
   * The days up to a time, those that have changed since they were given out as they were.
   * @returns undefined where there is none
   */
  daysUntil(account: Account, untilMs: number): DaysSeen | undefined {
    const { history, takeupIndex } = this;
    const lastDay = dayUntil(history, untilMs);
    if (lastDay === undefined) return undefined;
    const last = this.lastOf(account, lastDay);
    return {
      last,
      days: this.seenBy(account).filter(({ endMs }) => endMs < untilMs),
      *back() {
        yield last.row;
        for (let day = before(history, lastDay); day !== undefined; day = before(history, day))
          yield settledDay(account, takeupIndex, day.date, day.windows).row;
      },
    };
  }

  /** The last day, which was worked out when it was given out, as a rule. */
  private lastOf(account: Account, { date, windows }: PastDay): SettledDay {
    const { latest, takeupIndex } = this;
    const still = latest?.account === account && latest.day.row.date === date && !this.changed.has(date);
    return still && latest.day.endMs === windows.at(-1)?.toMs ? latest.day : settledDay(account, takeupIndex, date, windows);
  }

  /** Works out what the trend looks at, where that is not at hand, so that it is when a day ends. */
  prepare(account: Account): void {
    this.seenBy(account);
  }

  save(): Required<DayBookSaved> {
    return { given: Object.fromEntries(this.given), changed: [...this.changed] };
  }

  private seenBy(account: Account): readonly TrendDay[] {
    if (this.seen?.account !== account) {
      const days = this.history.daysSince((this.history.last?.toMs ?? 0) - TREND_MS);
      const seen = days.map(({ date, windows }) => trendDayOf(settledDay(account, this.takeupIndex, date, windows)));
      this.seen = { account, days: new TrendDays(recent(seen)) };
    }
    return this.seen.days.toArray();
  }
}

/** The last day with a window that ended before a time, as far as it had come by then. */
function dayUntil(history: History, untilMs: number): PastDay | undefined {
  for (let day = history.dayBefore(untilMs); day !== undefined; day = before(history, day)) {
    const windows = until(day.windows, untilMs);
    if (windows.length > 0) return { date: day.date, windows };
  }
  return undefined;
}

function before(history: History, { windows }: PastDay): PastDay | undefined {
  return history.dayBefore((windows[0] as WindowRecord).fromMs);
}

function until(windows: readonly WindowRecord[], untilMs: number): readonly WindowRecord[] {
  return (windows.at(-1)?.toMs ?? NaN) < untilMs ? windows : windows.filter(({ toMs }) => toMs < untilMs);
}

/** Those that the trend looks at. */
function recent(days: readonly TrendDay[]): readonly TrendDay[] {
  const lastMs = days.at(-1)?.endMs ?? NaN;
  return days.filter(({ endMs }) => lastMs - endMs <= TREND_MS);
}

function sumOf({ row }: SettledDay): number {
  return checksum(JSON.stringify(row));
}
