import type { ServiceEntry } from '../../contract/service-entry.js';
import { conveyorSignals, type Conveyor } from '../../site/site.js';
import type { LocalDays } from '../../units/local-day.js';
import { AlarmBook } from '../alarm/alarm-book.js';
import { HeatTrack } from '../ledger/heat.js';
import { temperatureRolls, type TemperatureRoll } from '../ledger/temperature-roll.js';
import type { Output } from '../output.js';
import type { SettledWindow } from '../position/settle-window.js';
import { Sampler, Verdict } from '../sample/sampler.js';
import { MINUTE_MS } from '../takeup/minute-roll.js';
import { RunningTrack } from '../takeup/running-track.js';
import type { SideTrack, TakeupTrack } from '../takeup/takeup-track.js';
import { ChainAccount, type ShelfOf } from './chain-account.js';
import { Lane } from './lane.js';
import { rolesOf, type Role } from './roles.js';
import type { HistorySpan } from '../ledger/history.js';
import type { ConveyorWaySaved } from './saved.js';
import { SignalAlarms } from './signal-alarms.js';
import type { WaySettings } from './site-settings.js';
import { TakeupWay } from './takeup-way.js';
import { tracksOf } from './tracks-of.js';

/** The way of a reading through one conveyor, from its payload's number to the alarms: the steps of the map, wired. */
export class ConveyorWay {
  readonly running: RunningTrack;
  readonly heat: HeatTrack;
  private readonly temperatures: readonly TemperatureRoll[];
  readonly tracks: readonly TakeupTrack[];
  readonly alarms: AlarmBook;
  readonly account: ChainAccount;
  readonly takeups: readonly TakeupWay[];
  /** Something may fall due earlier than `dueMs` last said. */
  dueMoved = true;

  /** In the order of `conveyorSignals`. */
  readonly samplers: readonly Sampler[];
  private readonly roles: readonly Role[];
  /** By signal; undefined where it is no length. */
  readonly lanes: readonly (Lane | undefined)[];
  private readonly signalAlarms: SignalAlarms;
  /** Made outside of the constructor: what is made in it keeps all that it was handed, the whole saved state, for ever. */
  private readonly moveDue = (): void => {
    this.dueMoved = true;
  };

  constructor(
    readonly conveyor: Conveyor,
    days: LocalDays,
    settings: WaySettings,
    saved?: ConveyorWaySaved,
    shelfOf?: ShelfOf,
  ) {
    const signals = conveyorSignals(conveyor);
    this.roles = rolesOf(conveyor);
    this.samplers = signals.map((signal, index) => new Sampler(signal, saved?.samplers[index]));
    this.running = new RunningTrack(conveyor.running === undefined, saved?.running);
    this.heat = new HeatTrack(conveyor, saved?.heat);
    const rollMs = settings.rollMs ?? MINUTE_MS;
    this.temperatures = temperatureRolls(conveyor, rollMs, saved?.temperatures);
    this.tracks = tracksOf(conveyor, this.samplers, settings.filter, saved?.tracks);
    this.alarms = new AlarmBook(conveyor, saved?.alarms, this.moveDue);
    this.signalAlarms = new SignalAlarms(conveyor, this.roles, this.alarms);
    this.account = new ChainAccount(conveyor, days, this.tracks, this.running, this.alarms, saved?.account, shelfOf);
    this.takeups = conveyor.takeups.map(
      (takeup, index) =>
        new TakeupWay(
          conveyor,
          takeup,
          index,
          this.tracks[index] as TakeupTrack,
          this.running,
          this.heat,
          this.alarms,
          { settle: settings.settle, rollMs },
          this.tellJump(index),
          saved?.takeups[index],
        ),
    );
    this.lanes = signals.map((signal, index) => this.laneOf(this.roles[index] as Role, signal.name));
  }

  private tellJump(index: number): (atMs: number, moveMm: number, out: Output[]) => void {
    return (atMs, moveMm, out) => {
      this.account.steps.jumped(index, atMs, moveMm, out);
    };
  }

  private laneOf(role: Role, name: string): Lane | undefined {
    if (role.kind !== 'position' && role.kind !== 'spring') return undefined;
    return new Lane(name, this.filterOf(role), this.takeups[role.takeup] as TakeupWay, role.side, role.kind === 'spring');
  }

  /** From here on, silence of a signal that never spoke counts. */
  expectFrom(timeMs: number): void {
    for (const sampler of this.samplers) sampler.expectFrom(timeMs);
  }

  /** Takes a reading. @param index - the signal's place in `conveyorSignals` */
  read(index: number, timeMs: number, raw: number, out: Output[]): void {
    const sampler = this.samplers[index] as Sampler;
    const { lost, fault } = sampler;
    // A first reading, or one after silence, sets a term that was not there.
    if (lost || Number.isNaN(sampler.lastMs)) this.dueMoved = true;
    const verdict = sampler.push(timeMs, raw);
    if (lost !== sampler.lost) this.signalAlarms.tellLost(index, sampler, timeMs, out);
    if (fault !== sampler.fault) this.turnFault(index, sampler, timeMs, raw, out);
    if (verdict === Verdict.good) {
      if (!sampler.known) return;
      const lane = this.lanes[index];
      if (lane === undefined) {
        this.take(index, timeMs, sampler.value, out);
        return;
      }
      lane.filter.stage(timeMs, sampler.value);
      lane.filter.judgeStaged();
      this.takeJudged(lane, lane.filter.judgedUpTo(0), out);
      return;
    }
    const reason = verdict === Verdict.late ? 'late' : verdict === Verdict.duplicate ? 'duplicate' : 'out-of-range';
    // What is not a number was counted as unparsable where it was read.
    if (raw === raw) out.push({ kind: 'reject', signal: sampler.signal.name, timeMs, reason });
  }

  /**
   * Whether a good reading of what is no length changes nothing but its own sampler: a conveyor that runs said to run.
   * @param index - the signal's place in `conveyorSignals`
   */
  isNoTurn(index: number, timeMs: number, value: number): boolean {
    const role = this.roles[index] as Role;
    return role.kind !== 'running' || this.running.at(timeMs) === (value > 0.5 ? 1 : 0);
  }

  /** Takes what is no length. */
  take(index: number, timeMs: number, value: number, out: Output[]): void {
    const role = this.roles[index] as Role;
    if (role.kind === 'running') {
      const running = value > 0.5 ? 1 : 0;
      this.runs(timeMs, running, out);
    } else if (role.kind === 'temperature') {
      this.heat.read(role.zone, timeMs, value);
      (this.temperatures[role.zone] as TemperatureRoll).push(timeMs, value, this.heat.lateC(role.zone), out);
    }
  }

  /** @param running - 1 running, 0 standing, NaN not known */
  private runs(timeMs: number, running: number, out: Output[]): void {
    if (this.running.turn(timeMs, running)) out.push({ kind: 'running', conveyor: this.conveyor.id, timeMs, running });
    this.alarms.runs(timeMs, running, out);
  }

  /** Takes the readings that the spike filter has judged, up to so many. */
  takeJudged(lane: Lane, upTo: number, out: Output[]): void {
    const { filter, way, side } = lane;
    while (filter.taken < upTo) {
      const timeMs = filter.nextTimeMs;
      if (!filter.takeNext()) {
        out.push({ kind: 'reject', signal: lane.name, timeMs, reason: 'spike' });
        continue;
      }
      if (lane.ofSpring) {
        way.judgeSpring(side, timeMs, out);
        continue;
      }
      const window = way.moved(side, out);
      if (window !== undefined) {
        this.account.settled(way.index, window, out);
        this.dueMoved = true;
      }
    }
  }

  private settle(takeup: number, window: SettledWindow | undefined, out: Output[]): void {
    if (window !== undefined) this.account.settled(takeup, window, out);
  }

  private filterOf(role: Role & { kind: 'position' | 'spring' }): SideTrack['position'] {
    const track = this.tracks[role.takeup] as TakeupTrack;
    const side = role.side === 0 ? track.left : track.right;
    return role.kind === 'position' ? side.position : (side.springFilter as SideTrack['position']);
  }

  /** A signal fell into fault or came out of it. */
  private turnFault(index: number, sampler: Sampler, timeMs: number, raw: number, out: Output[]): void {
    this.signalAlarms.tellFault(index, sampler, timeMs, raw, out);
    if (sampler.fault) this.forget(index, timeMs, out);
  }

  /** What a signal feeds is unknown from now on. */
  private forget(index: number, timeMs: number, out: Output[]): void {
    const role = this.roles[index] as Role;
    switch (role.kind) {
      case 'running':
        this.runs(timeMs, NaN, out);
        return;
      case 'temperature':
        this.heat.lose(role.zone);
        return;
      case 'speed':
        return;
      default: {
        const way = this.takeups[role.takeup] as TakeupWay;
        this.settle(role.takeup, way.closeSecond(out), out);
        this.filterOf(role).restart();
        if (role.kind === 'spring') way.judgeSpring(role.side, timeMs, out);
        else {
          way.dropWindow();
          way.judgeSide(role.side, out);
        }
      }
    }
  }

  /** The next instant at which something falls due without a reading. */
  get dueMs(): number {
    let due = Math.min(this.account.dueMs, this.alarms.dueMs);
    for (const sampler of this.samplers) if (sampler.lostAtMs < due) due = sampler.lostAtMs;
    return due;
  }

  /** Lets time pass: signals are lost, days end, shelved alarms come back. */
  passTo(timeMs: number, out: Output[]): void {
    for (;;) {
      const due = this.dueMs;
      if (due > timeMs) return;
      const falling = this.samplers.flatMap((sampler, index) => (sampler.lostAtMs <= due ? [{ sampler, index }] : []));
      // All that waits is judged before anything is lost: one side's last readings need the other's.
      for (const { sampler, index } of falling) this.judgeWaiting(index, sampler, out);
      for (const { sampler, index } of falling) this.lose(index, sampler, due, out);
      if (this.account.dueMs <= due) this.account.fallDue(due, this.takeups, out);
      if (this.alarms.dueMs <= due) this.alarms.fallDue(due, out);
    }
  }

  /** The last readings waited for neighbours that will not come: they are judged with those there are. */
  private judgeWaiting(index: number, sampler: Sampler, out: Output[]): void {
    const lane = this.lanes[index];
    if (sampler.known && lane !== undefined) this.takeJudged(lane, lane.filter.judgeWaiting(), out);
  }

  private lose(index: number, sampler: Sampler, timeMs: number, out: Output[]): void {
    sampler.loseNow();
    this.signalAlarms.tellLost(index, sampler, timeMs, out);
    this.forget(index, timeMs, out);
  }

  /** Nobody listened for a while, until now: what has grown old is unknown until it is read again, and no signal is to blame. */
  interrupt(timeMs: number, out: Output[]): void {
    this.samplers.forEach((sampler, index) => {
      const lastMs = sampler.lastMs;
      if (!sampler.interrupt(timeMs)) return;
      this.forget(index, Math.min(timeMs, lastMs + sampler.signal.lostAfterMs), out);
    });
    this.dueMoved = true;
  }

  /** Takes a service entry that has become known. */
  enter(entry: ServiceEntry, nowMs: number, out: Output[]): void {
    this.account.enter(entry, nowMs, out);
    this.dueMoved = true;
  }

  /** The recording has ended: what waits for neighbours is judged, and the days there are, given out. */
  finish(out: Output[]): void {
    this.samplers.forEach((sampler, index) => {
      this.judgeWaiting(index, sampler, out);
    });
    for (const takeup of this.takeups) {
      this.settle(takeup.index, takeup.closeSecond(out), out);
      takeup.closeMinute(out);
    }
    for (const temperature of this.temperatures) temperature.close(out);
    this.account.finish(out);
  }

  /** @param span - which of the settled windows are in it */
  save(span: HistorySpan = 'all'): ConveyorWaySaved {
    return { ...this.saveReadings(), account: this.account.save(span) };
  }

  /** All but the account, which is by far the most, and changes only now and then. */
  saveReadings(): Omit<ConveyorWaySaved, 'account'> {
    return {
      samplers: this.samplers.map((sampler) => sampler.save()),
      running: this.running.save(),
      heat: this.heat.save(),
      temperatures: this.temperatures.map((temperature) => temperature.save()),
      tracks: this.tracks.map((track) => track.save()),
      takeups: this.takeups.map((takeup) => takeup.save()),
      alarms: this.alarms.save(),
    };
  }
}
