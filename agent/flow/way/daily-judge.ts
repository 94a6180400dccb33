import type { Conveyor } from '../../site/site.js';
import type { LocalDays } from '../../units/local-day.js';
import type { AlarmBook } from '../alarm/alarm-book.js';
import type { Clocks } from '../alarm/watch.js';
import { BreathingWatch, type BreathingWatchSaved } from '../finding/breathing-watch.js';
import type { SettledDay } from '../ledger/day-book.js';
import type { Figures } from '../ledger/figures.js';
import type { Ledger } from '../ledger/ledger.js';
import type { WindowRecord } from '../ledger/window-record.js';
import type { Output } from '../output.js';
import type { TrendNow } from '../../contract/messages.js';
import { NO_TREND } from './takeup-figures.js';

export interface DailyJudgeSaved {
  readonly breathing: readonly BreathingWatchSaved[];
}

/** What is judged once a window or once a day: breathing, elongation, and the dates the trend leads to. */
export class DailyJudge {
  private readonly breathing: readonly BreathingWatch[];

  constructor(
    conveyor: Conveyor,
    readonly days: LocalDays,
    private readonly alarms: AlarmBook,
    saved?: DailyJudgeSaved,
  ) {
    this.breathing = conveyor.takeups.map((_, index) => new BreathingWatch(saved?.breathing[index]));
  }

  /** A settled window came in. */
  window(index: number, record: WindowRecord, _figures: Figures, out: Output[]): void {
    const watch = this.breathing[index] as BreathingWatch;
    const share = watch.push(record.breathing);
    const clocks: Clocks = { timeMs: record.toMs, runningMs: record.runHours * 3600_000, running: 1 };
    for (const row of this.alarms.watchesOf(index, 'breathing-share')) row.judge(0, share, clocks, out);
  }

  /** A day has ended. */
  day(index: number, days: readonly SettledDay[], ledger: Ledger, endMs: number, out: Output[]): void {
    this.refresh(index, days, ledger);
    const last = days.at(-1)?.row;
    if (last === undefined || last.flag !== 'value') return;
    const clocks: Clocks = { timeMs: endMs, runningMs: endMs, running: 1 };
    for (const row of this.alarms.watchesOf(index, 'elongation')) row.judge(0, last.elongationPct, clocks, out);
  }

  /** Works the trend out anew from the days there are. */
  refresh(_index: number, _days: readonly SettledDay[], _ledger: Ledger): void {}

  trendOf(_index: number): TrendNow {
    return NO_TREND;
  }

  save(): DailyJudgeSaved {
    return { breathing: this.breathing.map((watch) => watch.save()) };
  }
}
