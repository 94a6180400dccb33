import type { TrendNow } from '../../contract/messages.js';
import type { Conveyor, Signal, Takeup } from '../../site/site.js';
import type { AlarmBook } from '../alarm/alarm-book.js';
import type { Measure } from '../alarm/definition.js';
import type { Clocks } from '../alarm/watch.js';
import { BreathingWatch, type BreathingWatchSaved } from '../finding/breathing-watch.js';
import { DoubtWatch, type Doubt, type DoubtWatchSaved } from '../finding/doubt-watch.js';
import { skewGrowing } from '../finding/skew-growing.js';
import { doubtFinding, stuckByHeat, stuckFinding, wearFinding } from '../finding/slow-findings.js';
import type { Account } from '../ledger/account.js';
import type { DaysSeen } from '../ledger/day-book.js';
import type { Ledger } from '../ledger/ledger.js';
import type { WindowRecord } from '../ledger/window-record.js';
import type { FindingOutput, Output } from '../output.js';
import type { TakeupTrack } from '../takeup/takeup-track.js';
import { NO_VIEW, trendView, type TrendView } from './trend-view.js';

const HOUR_MS = 3600_000;

export interface DailyJudgeSaved {
  readonly breathing: readonly BreathingWatchSaved[];
  readonly doubt: readonly (readonly [DoubtWatchSaved, DoubtWatchSaved])[];
  /** Slow findings that have been told and still hold, by take-up. */
  readonly told: readonly (readonly string[])[];
  /** The trend of each take-up, and what it was worked out for. Not in states saved by early versions. */
  readonly trends?: readonly ({ readonly trend: TrendNow; readonly mark: number } | undefined)[];
}

/** What is judged once a window or once a day: breathing, doubtful sensors, elongation, and the dates the trend leads to. */
export class DailyJudge {
  private readonly breathing: readonly BreathingWatch[];
  private readonly doubt: readonly (readonly [DoubtWatch, DoubtWatch])[];
  private readonly told: readonly Set<string>[];
  private readonly views: TrendView[];
  private readonly marks: number[];

  constructor(
    private readonly conveyor: Conveyor,
    private readonly tracks: readonly TakeupTrack[],
    private readonly alarms: AlarmBook,
    /** Tells the conveyor as the site file has it from another. */
    private readonly mark: number,
    saved?: DailyJudgeSaved,
  ) {
    this.breathing = conveyor.takeups.map((_, index) => new BreathingWatch(saved?.breathing[index]));
    this.doubt = conveyor.takeups.map((_, index) => [new DoubtWatch(saved?.doubt[index]?.[0]), new DoubtWatch(saved?.doubt[index]?.[1])]);
    this.told = conveyor.takeups.map((_, index) => new Set(saved?.told[index]));
    this.views = conveyor.takeups.map((_, index) => ({ ...NO_VIEW, trend: saved?.trends?.[index]?.trend ?? NO_VIEW.trend }));
    this.marks = conveyor.takeups.map((_, index) => (saved === undefined ? mark : (saved.trends?.[index]?.mark ?? -1)));
  }

  /** A settled window came in. @param ranFromMs - running time of the conveyor when it began */
  window(index: number, record: WindowRecord, ranFromMs: number, out: Output[]): void {
    const track = this.tracks[index] as TakeupTrack;
    const noise = Number.isNaN(track.stillNoiseMm) ? 0 : track.stillNoiseMm;
    const share = (this.breathing[index] as BreathingWatch).push(record.breathing, noise);
    // What a window shows was so from its beginning: the on-delay counts from there.
    this.judge(index, 'breathing-share', share, { timeMs: record.fromMs, runningMs: ranFromMs, running: 1 }, out);
    this.judge(index, 'breathing-share', share, { timeMs: record.toMs, runningMs: record.runHours * HOUR_MS, running: 1 }, out);
    this.tellOnce(
      index,
      'carriage-stuck',
      this.alarms.isUp(track.takeup.id, 'carriage-stuck'),
      () => stuckFinding(this.conveyor, index, record, share),
      out,
    );
    this.watchDoubt(index, 0, record.leftRange, record.rightRange, record, out);
    this.watchDoubt(index, 1, record.rightRange, record.leftRange, record, out);
  }

  private watchDoubt(index: number, side: 0 | 1, rangeMm: number, otherRangeMm: number, record: WindowRecord, out: Output[]): void {
    const track = this.tracks[index] as TakeupTrack;
    const sideTrack = side === 0 ? track.left : track.right;
    const { noiseSpread } = sideTrack.position;
    const { fromMs, toMs, count } = record;
    // The noise of the mean of two like sensors is 1/√2 of each one's.
    const stillMm = Math.SQRT2 * track.stillNoiseMm;
    const doubt = this.doubt[index]?.[side].push({ fromMs, toMs, count, rangeMm, otherRangeMm, noiseMm: noiseSpread, stillMm });
    if (doubt !== undefined) this.tellDoubt(index, side, sideTrack.side.position, doubt, out);
  }

  private tellDoubt(index: number, side: 0 | 1, signal: Signal, doubt: Doubt, out: Output[]): void {
    const takeup = (this.conveyor.takeups[index] as Takeup).id;
    const up = doubt.turn === 'raised';
    const place = { takeup, signal, side: side === 0 ? 'left' : 'right' } as const;
    this.alarms.tell({ key: 'signal-doubtful', ...place, up, timeMs: doubt.atMs, value: doubt.value, limit: doubt.limit }, out);
    if (up) out.push(doubtFinding(this.conveyor, index, place.side, doubt));
  }

  /**
   * A day has ended: the trend is worked out and the daily alarms judged.
   * @param records - the settled windows of the last day
   */
  day(index: number, seen: DaysSeen | undefined, records: readonly WindowRecord[], ledger: Ledger, endMs: number, out: Output[]): void {
    this.refresh(index, seen, ledger.now);
    if (seen === undefined) return;
    const { last } = seen;
    const { strokeOutDays, slackDays, wear } = this.views[index] as TrendView;
    const clocks: Clocks = { timeMs: endMs, runningMs: endMs, running: 1 };
    this.judge(index, 'elongation', last.row.flag === 'value' ? last.row.elongationPct : NaN, clocks, out);
    this.judge(index, 'stroke-out-days', strokeOutDays, clocks, out);
    this.judge(index, 'slack-days', slackDays, clocks, out);
    const takeup = (this.conveyor.takeups[index] as Takeup).id;
    if (wear) {
      const value = wear.last.value / wear.before.value;
      const limit = this.conveyor.takeups[index]?.limits['wear-fast']?.['times'] ?? 1.5;
      this.alarms.tell({ key: 'wear-fast', takeup, up: wear.is, timeMs: endMs, value, limit }, out);
      this.tellOnce(index, 'wear-fast', wear.is, () => wearFinding(this.conveyor, index, last.endMs, wear, endMs), out);
    }
    const skew = skewGrowing(ledger.now, index, seen.days, endMs);
    this.tellOnce(index, 'skew-growing', skew !== undefined, () => skew as FindingOutput, out);
    const cold = stuckByHeat(ledger, index, records, endMs);
    this.tellOnce(index, 'carriage-stuck-by-heat', cold !== undefined, () => cold as FindingOutput, out);
  }

  private judge(index: number, measure: Measure, value: number, clocks: Clocks, out: Output[]): void {
    for (const watch of this.alarms.watchesOf(index, measure)) watch.judge(0, value, clocks, out);
  }

  /** Gives a finding when it begins to hold, and not again before it has ceased to. */
  private tellOnce(index: number, key: string, holds: boolean, finding: () => FindingOutput, out: Output[]): void {
    const told = this.told[index] as Set<string>;
    if (!holds) {
      told.delete(key);
      return;
    }
    if (told.has(key)) return;
    told.add(key);
    out.push(finding());
  }

  /** Works the trend out anew from the days there are. */
  refresh(index: number, seen: DaysSeen | undefined, account: Account): void {
    this.views[index] = trendView(account, index, seen);
    this.marks[index] = this.mark;
  }

  /** The trend is that of a conveyor that was another then, or of another program: it has to be worked out anew. */
  isStale(index: number): boolean {
    return this.marks[index] !== this.mark;
  }

  trendOf(index: number): TrendNow {
    return (this.views[index] as TrendView).trend;
  }

  save(): DailyJudgeSaved {
    return {
      breathing: this.breathing.map((watch) => watch.save()),
      doubt: this.doubt.map(([left, right]) => [left.save(), right.save()]),
      told: this.told.map((set) => [...set]),
      trends: this.views.map(({ trend }, index) => ({ trend, mark: this.marks[index] ?? -1 })),
    };
  }
}
