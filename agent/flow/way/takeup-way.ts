import type { Conveyor, Takeup } from '../../site/site.js';
import { toSaved, fromSaved, type SavedNumber } from '../../units/saved.js';
import type { AlarmBook } from '../alarm/alarm-book.js';
import type { Clocks } from '../alarm/watch.js';
import { JumpWatch, type JumpTurn, type JumpWatchSaved } from '../finding/jump-watch.js';
import { Extent } from '../position/position-filter.js';
import type { HeatTrack } from '../ledger/heat.js';
import type { Output } from '../output.js';
import {
  SAMPLE_LENGTH,
  SampleAt,
  SettleWindow,
  type SettledWindow,
  type SettleSettings,
  type SettleWindowSaved,
} from '../position/settle-window.js';
import { MinuteRoll, type MinuteRollSaved } from '../takeup/minute-roll.js';
import { SettingNotes, type SettingNotesSaved } from '../takeup/setting-notes.js';
import type { RunningTrack } from '../takeup/running-track.js';
import type { SideTrack, TakeupTrack } from '../takeup/takeup-track.js';
import { SideGuards, Slot, SLOT_MEASURES, type Guard } from './side-guards.js';

/** After a stop of a minute or more the chain finds its tension again: so long is not counted as settled. */
const START_UP_MS = 60_000;
/**
 * After standing so long, and for so many readings, a sensor has shown nothing but its noise. The filter remembers hundreds of readings,
 * so that a slow sensor is listened to over a weekend only: what it still remembers of breathing would be taken for noise and hide it.
 */
const STILL_MS = 600_000;
const STILL_READINGS = 1280;
/** A stop of so long ends the window that was being gathered: a chain may have been shortened in it. */
export const LONG_STOP_MS = 300_000;

export interface TakeupWaySaved {
  readonly window: SettleWindowSaved;
  readonly minute: MinuteRollSaved;
  /** Not in states saved by early versions. */
  readonly settings?: SettingNotesSaved;
  readonly jump: JumpWatchSaved;
  readonly rangeDay: readonly [SavedNumber, SavedNumber, SavedNumber];
}

/** What every judged reading of one take-up goes through: its alarms at once; minutes, jumps and windows once a second. */
export class TakeupWay {
  /** Furthest in and out since the local day began; NaN before the first reading. */
  dayStartMs = NaN;
  dayLeast = NaN;
  dayMost = NaN;

  private readonly window: SettleWindow;
  private readonly minute: MinuteRoll;
  private readonly settings: SettingNotes;
  private readonly jump: JumpWatch;
  private readonly sample = new Float64Array(SAMPLE_LENGTH);
  private readonly clocks: Clocks = { timeMs: NaN, runningMs: NaN, running: NaN };
  /** What the alarms of every reading look at, by slot. */
  private readonly values = new Float64Array(SLOT_MEASURES.length);
  /** The same at their worst through a block. */
  private readonly bounds = new Float64Array(SLOT_MEASURES.length);
  private readonly guards: readonly [SideGuards, SideGuards];
  /** A condition of the guards is not idle: every value has a say until all are again. */
  private restless = true;
  /** No reading up to the end of the block that is being taken can concern a guard, see `lookOver`. */
  calm = false;
  private readonly watchesTension: boolean;
  private readonly stillMs: number;

  constructor(
    conveyor: Conveyor,
    readonly takeup: Takeup,
    readonly index: number,
    readonly track: TakeupTrack,
    private readonly running: RunningTrack,
    private readonly heat: HeatTrack,
    private readonly alarms: AlarmBook,
    { settle, rollMs }: { readonly settle: SettleSettings; readonly rollMs: number },
    private readonly onJump: (atMs: number, moveMm: number, out: Output[]) => void,
    saved?: TakeupWaySaved,
  ) {
    this.window = new SettleWindow(settle, saved?.window);
    this.minute = new MinuteRoll(conveyor.id, track, rollMs, saved?.minute);
    this.settings = new SettingNotes(conveyor.id, track, saved?.settings);
    this.jump = new JumpWatch(takeup.limits['carriage-jump']?.['move_mm'] ?? 8, saved?.jump);
    if (saved) [this.dayStartMs, this.dayLeast, this.dayMost] = saved.rangeDay.map(fromSaved) as [number, number, number];
    this.guards = [new SideGuards(alarms, index, 0), new SideGuards(alarms, index, 1)];
    this.watchesTension = this.guards[0].all.some(({ slot }) => slot === Slot.tension);
    const periodS = Math.max(takeup.sides.left.position.periodS, takeup.sides.right.position.periodS);
    this.stillMs = Math.max(STILL_MS, STILL_READINGS * periodS * 1000);
  }

  /** A position of one side was judged good. @returns a settled window, where this reading filled one */
  moved(side: 0 | 1, out: Output[]): SettledWindow | undefined {
    const { track } = this;
    const moved = side === 0 ? track.left : track.right;
    // Written so that a first reading, met with NaN, sets it.
    const timeMs = moved.position.timeMs <= track.timeMs ? track.timeMs : moved.position.timeMs;
    let window: SettledWindow | undefined;
    const secondMs = track.second * 1000;
    // Written so that a first reading, met with NaN, begins a second.
    if (!(timeMs >= secondMs && timeMs < secondMs + 1000)) {
      window = this.closeSecond(out);
      track.second = Math.floor(timeMs / 1000);
    }
    track.timeMs = timeMs;
    if (this.calm) moved.refresh();
    else this.judgeSide(side, out);
    const mm = ((track.left.cells[0] as number) + (track.right.cells[0] as number)) / 2;
    if (this.settings.look(timeMs, out)) this.minute.takeSprings();
    this.minute.push(timeMs, mm, moved.cells[2] as number, out);
    // Written so that the first reading, met with NaN, sets both.
    if (!(mm >= this.dayLeast)) this.dayLeast = mm === mm ? mm : this.dayLeast;
    if (!(mm <= this.dayMost)) this.dayMost = mm === mm ? mm : this.dayMost;
    return window;
  }

  /**
   * Samples the second that is over. The sides come one after the other, often with the same time: their mean is of one moment only
   * when both are in. @returns a settled window, where this filled one
   */
  closeSecond(out: Output[]): SettledWindow | undefined {
    const { track } = this;
    if (Number.isNaN(track.second)) return undefined;
    track.second = NaN;
    return this.eachSecond(out);
  }

  /** A side was lost or failed: what was gathered until then does not go on beyond it. */
  dropWindow(): void {
    this.window.drop();
  }

  /** Judges the alarms that look at every reading. Unknown values are NaN: they break a delay and clear nothing. */
  judgeSide(side: 0 | 1, out: Output[]): void {
    const { track, takeup, values } = this;
    const { left, right } = track;
    const moved: SideTrack = side === 0 ? left : right;
    moved.refresh();
    const [a, b, own] = [left.cells, right.cells, moved.cells];
    values[Slot.remainingSide] = takeup.strokeMm - (own[0] as number);
    // A spring with a sensor of its own is judged by that sensor's readings.
    values[Slot.compressionSide] = moved.setting.spring.freeMm - (own[3] as number);
    values[Slot.remaining] = takeup.strokeMm - ((a[1] as number) + (b[1] as number)) / 2;
    values[Slot.skew] = Math.abs((a[1] as number) - (b[1] as number));
    values[Slot.springSide] = own[2] as number;
    if (this.watchesTension) values[Slot.tension] = track.strandTensionN;
    const guards = this.guards[side];
    if (!this.restless && guards.clearOf(values)) return;
    this.judge(moved.springSampler === undefined ? guards.all : guards.notSprings, track.timeMs, out);
  }

  /** Looks over what both sides' filters have judged: whether nothing in it is beyond a set-point, nothing pending and nothing up. */
  lookOver(): void {
    this.calm = !this.restless && this.clearThrough(0) && this.clearThrough(1);
  }

  private clearThrough(side: 0 | 1): boolean {
    const { track, takeup, bounds } = this;
    const moved = side === 0 ? track.left : track.right;
    const [a, b, own] = [track.left.position.extent, track.right.position.extent, moved.position.extent];
    bounds[Slot.remainingSide] = takeup.strokeMm - (own[Extent.most] as number);
    bounds[Slot.compressionSide] = moved.setting.spring.freeMm - moved.longestSpringMm;
    bounds[Slot.remaining] = takeup.strokeMm - ((a[Extent.smoothMost] as number) + (b[Extent.smoothMost] as number)) / 2;
    bounds[Slot.skew] = Math.max(
      (a[Extent.smoothMost] as number) - (b[Extent.smoothLeast] as number),
      (b[Extent.smoothMost] as number) - (a[Extent.smoothLeast] as number),
    );
    bounds[Slot.springSide] = moved.shortestSpringMm;
    return this.guards[side].clearOf(bounds);
  }

  /** A spring's own sensor gave a good reading, or none is known any more. */
  judgeSpring(side: 0 | 1, timeMs: number, out: Output[]): void {
    const { track } = this;
    const moved = side === 0 ? track.left : track.right;
    moved.refresh();
    this.values[Slot.springSide] = moved.cells[2] as number;
    this.judge(this.guards[side].springs, timeMs <= track.timeMs ? track.timeMs : timeMs, out);
  }

  private judge(guards: readonly Guard[], timeMs: number, out: Output[]): void {
    const { values } = this;
    for (let i = 0; i < guards.length; i++) {
      const { slot, at, sign, raiseAt, condition, watch } = guards[i] as Guard;
      const value = values[slot] as number;
      // Nearly every time: within its set-point, and nothing pending. Only the rest need to know the clocks.
      if (sign * value > (raiseAt[at] as number) && condition.idle) continue;
      this.setClocks(timeMs);
      watch.judge(at, value, this.clocks, out);
    }
    this.restless = this.watchesTension || !this.guards.every((side) => side.idle);
  }

  private setClocks(timeMs: number): void {
    this.clocks.timeMs = timeMs;
    this.clocks.running = this.running.at(timeMs);
    this.clocks.runningMs = this.running.ranMsAt(timeMs);
  }

  private eachSecond(out: Output[]): SettledWindow | undefined {
    const { running, track, window } = this;
    const { timeMs, left, right } = track;
    const mm = ((left.cells[0] as number) + (right.cells[0] as number)) / 2;
    if (mm !== mm) return undefined;
    const { last } = running;
    const turn = last.atMs <= timeMs ? last : running.turnAt(timeMs);
    const runs = turn.state === 1;
    const forMs = timeMs - turn.atMs;
    const { next } = this.jump;
    next[0] = timeMs;
    next[1] = mm;
    next[2] = runs ? forMs : 0;
    const jumped = this.jump.pushNext();
    if (jumped !== undefined) this.tellJump(jumped, out);
    if (!runs) {
      if (turn.state === 0 && forMs >= this.stillMs) track.hearStill();
      return undefined;
    }
    if (forMs < START_UP_MS && running.stoodBeforeMs(timeMs) >= START_UP_MS) return undefined;
    const lastMs = window.lastSampleMs;
    // By all that it stood since the last sample: a drive that is tried for seconds makes of a weekend two stops, the last one short.
    const ranBeforeMs = lastMs >= turn.atMs ? turn.ranMs + (lastMs - turn.atMs) : running.ranMsAt(lastMs);
    const ranSinceMs = turn.ranMs + forMs - ranBeforeMs;
    if (timeMs - lastMs - ranSinceMs >= LONG_STOP_MS) window.drop();
    const { sample } = this;
    const [leftMm, rightMm] = [left.cells[0] as number, right.cells[0] as number];
    const [leftSpring, rightSpring] = [left.cells[2] as number, right.cells[2] as number];
    sample[0] = mm;
    sample[1] = leftMm;
    sample[2] = rightMm;
    sample[3] = leftMm - rightMm;
    // A spring that is followed from the carriage is worked out from it later, by the account as it then stands.
    sample[4] = left.springSampler ? leftSpring : NaN;
    sample[5] = right.springSampler ? rightSpring : NaN;
    sample[6] = this.heat.zoneHeat;
    sample[7] = this.heat.ambientHeat;
    sample[SampleAt.timeMs] = timeMs;
    sample[SampleAt.ranMs] = Number.isNaN(window.lastSampleMs) ? 0 : ranSinceMs;
    sample[SampleAt.springLeast] = Math.min(leftSpring, rightSpring);
    sample[SampleAt.springMost] = Math.max(leftSpring, rightSpring);
    return window.push(sample);
  }

  private tellJump({ turn, atMs, moveMm }: JumpTurn, out: Output[]): void {
    const up = turn === 'raised';
    if (up && this.alarms.serviceOpen(this.index)) return;
    this.alarms.tell({ key: 'carriage-jump', takeup: this.takeup.id, up, timeMs: atMs, value: moveMm, limit: this.jump.moveMm }, out);
    if (up) this.onJump(atMs, moveMm, out);
  }

  /** A new local day: the day's to-and-fro begins anew. */
  startDay(startMs: number): void {
    this.dayStartMs = startMs;
    const mm = this.track.xMm;
    this.dayLeast = mm;
    this.dayMost = mm;
  }

  closeMinute(out: Output[]): void {
    this.minute.close(out);
  }

  save(): TakeupWaySaved {
    return {
      window: this.window.save(),
      minute: this.minute.save(),
      settings: this.settings.save(),
      jump: this.jump.save(),
      rangeDay: [toSaved(this.dayStartMs), toSaved(this.dayLeast), toSaved(this.dayMost)],
    };
  }
}
