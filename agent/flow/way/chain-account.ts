import type { ServiceEntry, WorkEntry } from '../../contract/service-entry.js';
import type { Conveyor, SideName } from '../../site/site.js';
import type { LocalDays } from '../../units/local-day.js';
import { fromSaved, toSaved } from '../../units/saved.js';
import type { AlarmBook } from '../alarm/alarm-book.js';
import { wholePitches } from '../finding/step-finding.js';
import { nutFinding } from '../finding/nut-watch.js';
import { STEP_LASTS_MS } from '../finding/step-watch.js';
import type { TrendNow } from '../../contract/messages.js';
import { checksum } from '../ledger/checksum.js';
import { DayBook, type DaysSeen } from '../ledger/day-book.js';
import { History, type HistorySpan } from '../ledger/history.js';
import { Ledger } from '../ledger/ledger.js';
import type { Step, WindowRecord } from '../ledger/window-record.js';
import type { Output } from '../output.js';
import type { SettledWindow } from '../position/settle-window.js';
import type { RunningTrack } from '../takeup/running-track.js';
import type { TakeupTrack } from '../takeup/takeup-track.js';
import { carriagePerChainMm } from '../takeup/travel.js';
import type { PastShelf } from '../ledger/past-day.js';
import { DailyJudge } from './daily-judge.js';
import type { ChainAccountSaved } from './saved.js';
import { StepDesk } from './step-desk.js';
import { PairedWindows } from './paired-windows.js';
import type { TakeupWay } from './takeup-way.js';
import { WindowWatches } from './window-watches.js';

/** A day is closed a little after its end, when the last readings have been judged. */
const DAY_CLOSES_AFTER_MS = 900_000;
const HOUR_MS = 3600_000;
/** While running, a settled window is at most so old, two windows of ten minutes and a bit. */
const FRESH_WINDOW_MS = 1500_000;
const IDLE_MS = 31 * 24 * HOUR_MS;
/** Counts up when days or trends are worked out otherwise than before: what was saved of them is then worked out anew. */
const TREND_VERSION = 1;

/** Where the past days of a take-up lie, where they do not stay in memory. */
export type ShelfOf = (conveyor: string, takeup: string) => PastShelf;

/** The chain's side of a conveyor's way: settled windows into the ledger, days, trend and findings. */
export class ChainAccount {
  readonly ledger: Ledger;
  readonly histories: readonly History[];
  private readonly daily: DailyJudge;
  readonly steps: StepDesk;
  private turns = 0;
  private readonly pairs: PairedWindows;
  private readonly watches: readonly WindowWatches[];
  private readonly books: readonly DayBook[];
  private dayEndMs: number;
  private unrecordedDueMs = Infinity;
  private readonly mark: number;
  /** Made outside of the constructor: what is made in it keeps all that it was handed, the whole saved state, for ever. */
  private readonly historyOf = (index: number): History | undefined => this.histories[index];

  constructor(
    private readonly conveyor: Conveyor,
    private readonly days: LocalDays,
    private readonly tracks: readonly TakeupTrack[],
    private readonly running: RunningTrack,
    private readonly alarms: AlarmBook,
    saved?: ChainAccountSaved,
    shelfOf?: ShelfOf,
  ) {
    this.mark = checksum(`${String(TREND_VERSION)} ${JSON.stringify(conveyor)}`);
    this.histories = conveyor.takeups.map(({ id }, index) => new History(saved?.histories[index], shelfOf?.(conveyor.id, id)));
    this.ledger = new Ledger(conveyor, this.historyOf, saved?.ledger);
    this.pairs = new PairedWindows(conveyor, this.ledger, this.histories, running);
    this.steps = new StepDesk(conveyor, this.ledger, this.histories, saved?.steps);
    const givenBy = saved?.mark === undefined || saved.mark === this.mark ? this.ledger.now : undefined;
    this.books = this.histories.map((history, index) => {
      const [given, changed] = [saved?.given[index], saved?.changed?.[index]];
      return new DayBook(history, index, givenBy, given && { given, ...(changed === undefined ? {} : { changed }) });
    });
    this.watches = conveyor.takeups.map((_, index) => new WindowWatches(conveyor, index, saved?.watches[index]));
    this.daily = new DailyJudge(conveyor, tracks, alarms, this.mark, saved?.daily);
    this.dayEndMs = fromSaved(saved?.dayEndMs);
    this.applyAccount(Infinity, []);
    this.unrecordedDueMs = saved?.unrecordedDueMs ?? Infinity;
  }

  /** Counts up whenever what is saved of the account may have become another: with readings between two settled windows it stays. */
  get changes(): number {
    return this.turns + this.steps.changes;
  }

  /** The next time at which something falls due: the running day is to be closed, or an unexplained step has lasted. */
  get dueMs(): number {
    return Math.min(this.dayDueMs, this.unrecordedDueMs);
  }

  private get dayDueMs(): number {
    return Number.isNaN(this.dayEndMs) ? Infinity : this.dayEndMs + DAY_CLOSES_AFTER_MS;
  }

  /** Takes a settled window of one take-up. */
  settled(index: number, window: SettledWindow, out: Output[]): void {
    this.turns++;
    const day = this.days.of(window.toMs);
    if (Number.isNaN(this.dayEndMs)) this.dayEndMs = day.endMs;
    const history = this.histories[index] as History;
    const last = history.last;
    const record = this.pairs.add(index, window, day.date);
    // The last window of another may have been paired anew with this one.
    this.books.forEach((book, other) => {
      const touched = this.histories[other]?.last;
      if (touched !== undefined) book.touch(touched.date);
    });
    const rebased = this.ledger.settled();
    this.watchStep(index, record, last, out);
    this.steps.review(record.toMs, out);
    if (rebased) this.giveDays(out);
    this.daily.window(index, record, this.running.ranMsAt(record.fromMs), out);
  }

  private watchStep(index: number, record: WindowRecord, last: WindowRecord | undefined, out: Output[]): void {
    const figures = this.ledger.figures(index, record);
    const ran = last ? this.running.ranMsAt(record.fromMs) - this.running.ranMsAt(last.toMs) : 0;
    const gap = last ? record.fromMs - last.toMs : 0;
    const stood = gap - ran;
    const stoodMs = stood > 60_000 ? stood : gap > HOUR_MS ? gap : 0;
    const watches = this.watches[index] as WindowWatches;
    for (const turned of watches.turned(record, stoodMs))
      this.steps.takeNut(
        nutFinding(
          this.conveyor,
          index,
          turned.side,
          turned.step,
          record,
          this.ledger.account.map(({ entry }) => entry),
        ),
        out,
      );
    const step = watches.push(
      {
        fromMs: record.fromMs,
        toMs: record.toMs,
        restMm: record.mean - figures.thermalMm * carriagePerChainMm(this.conveyor, index),
        stoodMs,
      },
      (moveMm) => stoodMs > 0 && wholePitches(this.conveyor, index, moveMm, 0) !== 0,
    );
    if (step) this.takeStep(index, step, record.toMs, out);
  }

  private takeStep(index: number, step: Omit<Step, 'id' | 'takeup'>, knownMs: number, out: Output[]): void {
    this.steps.take(index, step, knownMs, out);
    this.applyAccount(knownMs, out);
    this.tellUnrecorded(knownMs, out);
    this.giveDays(out);
  }

  /** Raises or clears `change-unrecorded` by the steps that are unexplained now, an on-delay after they were first seen. */
  private tellUnrecorded(nowMs: number, out: Output[]): void {
    this.unrecordedDueMs = Infinity;
    this.conveyor.takeups.forEach((takeup, index) => {
      const own = takeup.limits['change-unrecorded'];
      const delayMs = 1000 * (own?.['on_delay_s'] ?? STEP_LASTS_MS / 1000);
      const open = this.ledger.unexplained.filter((step) => step.takeup === index).at(-1);
      const dueMs = open ? open.toMs + delayMs : nowMs;
      if (dueMs > nowMs) {
        this.unrecordedDueMs = Math.min(this.unrecordedDueMs, dueMs);
        return;
      }
      const told = { key: 'change-unrecorded', takeup: takeup.id, limit: own?.['move_mm'] ?? 4 } as const;
      this.alarms.tell({ ...told, up: open !== undefined, timeMs: dueMs, value: open?.moveMm ?? 0 }, out);
    });
  }

  /** Takes a service entry; what it refers to is where the carriage stands when it becomes known. */
  enter(entry: ServiceEntry, nowMs: number, out: Output[]): void {
    this.turns++;
    this.steps.retelling(() => {
      this.ledger.add(entry, this.sideNow(entry));
    }, out);
    this.applyAccount(nowMs, out);
    this.tellUnrecorded(nowMs, out);
    this.giveDays(out);
  }

  private sideNow(entry: ServiceEntry): number {
    const side: SideName | undefined = 'side' in entry ? entry.side : undefined;
    const index = this.conveyor.takeups.findIndex(({ id }) => id === entry.takeup);
    const track = this.tracks[index];
    if (side === undefined || track === undefined) return NaN;
    const last = this.histories[index]?.last;
    // While it runs the carriage breathes: what it settled at counts, not where the second of the entry found it.
    const breathes = this.running.at(entry.timeMs) === 1 && last !== undefined && entry.timeMs - last.toMs < FRESH_WINDOW_MS;
    return breathes && entry.timeMs >= last.toMs ? last[side] : track[side].smoothedMm;
  }

  /** Puts the nuts, springs and open services of the account into what judges each reading. */
  private applyAccount(nowMs: number, out: Output[]): void {
    this.tracks.forEach((track, index) => {
      const [left, right] = this.ledger.sidesAt(index, nowMs);
      track.left.change(left);
      track.right.change(right);
      this.alarms.setSpring(index, 0, left.spring);
      this.alarms.setSpring(index, 1, right.spring);
      const service = this.lastService(track.takeup.id);
      const open = service?.kind === 'service-opened';
      this.alarms.setService(index, open, service && !open ? service.timeMs : -Infinity, nowMs, out);
    });
  }

  /** The entry that opened the service that is open on a take-up now. */
  serviceOpen(takeup: string): WorkEntry | undefined {
    const last = this.lastService(takeup);
    return last?.kind === 'service-opened' ? last : undefined;
  }

  /** The last opening or closing of a service on a take-up. */
  private lastService(takeup: string): WorkEntry | undefined {
    return this.ledger.account.findLast(
      ({ entry }) => entry.kind.startsWith('service-') && (entry.takeup === undefined || entry.takeup === takeup),
    )?.entry;
  }

  /** Does what has fallen due. */
  fallDue(nowMs: number, takeups: readonly TakeupWay[], out: Output[]): void {
    this.turns++;
    if (this.unrecordedDueMs <= nowMs) this.tellUnrecorded(nowMs, out);
    if (this.dayDueMs <= nowMs) this.endDay(nowMs, takeups, out);
  }

  /** A day has ended: its rows are given out, and the daily figures judged. */
  private endDay(nowMs: number, takeups: readonly TakeupWay[], out: Output[]): void {
    const endMs = this.dayEndMs;
    this.giveDays(out);
    this.books.forEach((_, index) => {
      const seen = this.daysSeen(index, endMs);
      const records = seen === undefined ? [] : (this.histories[index] as History).ofDate(seen.last.row.date);
      this.daily.day(index, seen, records, this.ledger, endMs, out);
    });
    const cuts = [...this.ledger.account.map(({ atMs }) => atMs), ...this.ledger.unexplained.map(({ toMs }) => toMs)];
    this.histories.forEach((history, index) => {
      for (const date of history.condense(nowMs, cuts)) this.books[index]?.touch(date);
    });
    for (const takeup of takeups) takeup.startDay(endMs);
    // A stray time centuries ahead must not be walked to day by day: after a month without a window the days rest until the next.
    const idle = this.histories.every((history) => endMs - (history.last?.toMs ?? -Infinity) > IDLE_MS);
    this.dayEndMs = idle ? NaN : this.days.of(Math.max(nowMs, endMs)).endMs;
  }

  private daysSeen(index: number, untilMs: number): DaysSeen | undefined {
    return (this.books[index] as DayBook).daysUntil(this.ledger.now, untilMs);
  }

  /** Gives out the days up to a time that are new or have changed. */
  private giveDays(out: Output[], untilMs = this.dayEndMs || Infinity): void {
    for (const book of this.books) book.give(this.ledger.now, untilMs, (row) => out.push(row));
  }

  /** Where the trend leads, as of the last day that is over. */
  trendOf(index: number): TrendNow {
    if (this.daily.isStale(index)) {
      this.turns++;
      const overMs = Number.isNaN(this.dayEndMs) ? NaN : this.days.of(this.dayEndMs - 1).startMs;
      this.daily.refresh(index, this.daysSeen(index, Number.isNaN(overMs) ? Infinity : overMs), this.ledger.now);
    }
    return this.daily.trendOf(index);
  }

  /** Works out what the end of the day asks for of a take-up's past, where it is not at hand: seldom, and some ms each. */
  prepareDay(index: number): void {
    this.books[index]?.prepare(this.ledger.now);
  }

  /** The end of a recording: the day that is not over is given out as far as it went, and the figures judged once more. */
  finish(out: Output[]): void {
    this.turns++;
    this.giveDays(out, Infinity);
    this.books.forEach((_, index) => {
      this.daily.refresh(index, this.daysSeen(index, Infinity), this.ledger.now);
    });
  }

  /** @param span - which of the settled windows are in it */
  save(span: HistorySpan = 'all'): ChainAccountSaved {
    return {
      histories: this.histories.map((history) => history.save(span)),
      ledger: this.ledger.save(),
      watches: this.watches.map((watch) => watch.save()),
      daily: this.daily.save(),
      dayEndMs: toSaved(this.dayEndMs),
      unrecordedDueMs: this.unrecordedDueMs === Infinity ? null : this.unrecordedDueMs,
      given: this.books.map((book) => book.save().given),
      changed: this.books.map((book) => book.save().changed),
      mark: this.mark,
      steps: this.steps.save(),
    };
  }
}
