import { conveyorSignals, type Conveyor, type Signal, type Spring, type Takeup } from '../../site/site.js';
import { ALARM_KEYS, type AlarmKey, type AlarmState } from '../alarm-key.js';
import type { AlarmOutput, Output } from '../output.js';
import { turnBy, type AlarmAct } from './alarm-act.js';
import { isNamedWell, recordId, type AlarmName, type TellAlarm } from './alarm-name.js';
import { AlarmRecord, type AlarmPlace, type AlarmRecordSaved } from './alarm-record.js';
import { termsOf } from './alarm-terms.js';
import { ConveyorStand, type ConveyorStandSaved } from './conveyor-stand.js';
import type { Measure } from './definition.js';
import { definitionOf } from './definitions.js';
import { ToldDelays, type WaitingTold } from './told-delays.js';
import { TakeupAlarms } from './takeup-alarms.js';
import type { Watch, WatchSaved } from './watch.js';

export interface AlarmBookSaved {
  readonly records: Readonly<Record<string, AlarmRecordSaved>>;
  readonly watches: Readonly<Record<string, WatchSaved>>;
  /** Left out where nobody ever said whether the conveyor runs, and by earlier versions. */
  readonly stand?: ConveyorStandSaved;
  readonly told?: Readonly<Record<string, WaitingTold>>;
}

/** States by how much they want somebody. */
const FOREMOST: readonly AlarmState[] = [
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'suppressed-by-design',
  'shelved',
  'out-of-service',
  'normal',
];

/** Every alarm of one conveyor: the one evaluator over the table of definitions. */
export class AlarmBook {
  /** Counts up whenever set-points were worked out anew. */
  limitsVersion = 0;
  private readonly records = new Map<string, AlarmRecord>();
  /** The records as they are told; undefined where one has been added since. */
  private inOrder: readonly AlarmRecord[] | undefined;
  private readonly pages: readonly TakeupAlarms[];
  private readonly signals: ReadonlyMap<string, Signal>;
  private readonly stand: ConveyorStand;
  private shelvesDueMs = Infinity;
  private readonly delays: ToldDelays;

  /** @param dueMoved - told that something may fall due earlier than `dueMs` last said */
  constructor(
    private readonly conveyor: Conveyor,
    private readonly saved?: AlarmBookSaved,
    private readonly dueMoved: () => void = () => undefined,
  ) {
    this.delays = new ToldDelays(conveyor.takeups, saved?.told);
    this.signals = new Map(conveyorSignals(conveyor).map((signal) => [signal.name, signal]));
    this.stand = new ConveyorStand(saved?.stand);
    this.pages = conveyor.takeups.map((takeup) => this.openPage(takeup));
    for (const id of Object.keys(saved?.records ?? {})) this.reopen(id);
    this.lookAhead();
  }

  private openPage(takeup: Takeup): TakeupAlarms {
    const place = { conveyor: this.conveyor.id, takeup: takeup.id };
    return new TakeupAlarms(
      this.conveyor,
      takeup,
      (key) => this.record(place, key),
      () => this.recordsOf(takeup.id),
      () => this.stand.stands,
      (key) => this.saved?.watches[`${takeup.id} ${key}`],
    );
  }

  /** In the order of the alarm list: what is told of several at one time is told alike by an agent that started again in between. */
  private recordsOf(takeup: string | undefined): AlarmRecord[] {
    return this.ordered().filter(({ place }) => place.takeup === takeup);
  }

  private record(place: AlarmPlace, key: AlarmKey, signal?: Signal): AlarmRecord {
    const id = recordId(place.takeup, key, place.signal);
    let record = this.records.get(id);
    if (record === undefined) {
      const takeup = this.conveyor.takeups.find((candidate) => candidate.id === place.takeup);
      record = new AlarmRecord(place, key, termsOf(key, takeup, signal), this.saved?.records[id]);
      this.records.set(id, record);
      this.inOrder = undefined;
    }
    return record;
  }

  /**
   * A saved alarm that is told rather than watched has no record until something is said of it: this one has a past. An alarm of a
   * take-up or a signal that the site no longer has is let go, since nothing could ever clear it.
   */
  private reopen(id: string): void {
    const [takeup = '', alarm = '', signal = ''] = id.split(' ');
    this.named({ takeup: takeup === '' ? undefined : takeup, alarm, signal: signal === '' ? undefined : signal });
  }

  /** The alarm that is meant, though nothing may ever have been said of it; undefined where the site has no such alarm. */
  private named({ takeup, alarm, signal: name }: AlarmName): AlarmRecord | undefined {
    const key = ALARM_KEYS.find((candidate) => candidate === alarm);
    const signal = name === undefined ? undefined : this.signals.get(name);
    const here = takeup === undefined || this.conveyor.takeups.some(({ id }) => id === takeup);
    if (key === undefined || key === 'agent-silent' || !here) return undefined;
    if (!isNamedWell(key, takeup, name, signal)) return undefined;
    const place = {
      conveyor: this.conveyor.id,
      ...(takeup === undefined ? {} : { takeup }),
      ...(name === undefined ? {} : { signal: name }),
    };
    return this.record(place, key, signal);
  }

  /** The watches over a measure of one take-up: looked up once, judged for every reading. */
  watchesOf(takeupIndex: number, measure: Measure): readonly Watch[] {
    return this.page(takeupIndex).watchesOf(measure);
  }

  isUp(takeup: string | undefined, key: AlarmKey, signal?: string): boolean {
    return this.records.get(recordId(takeup, key, signal))?.up ?? false;
  }

  serviceOpen(takeupIndex: number): boolean {
    return this.page(takeupIndex).serviceOpen;
  }

  /**
   * A service is open on a take-up, or none has been since a time: −Infinity where there never was one.
   * @param nowMs - when that became known; Infinity where it was so when the book was saved, and nothing follows from it
   */
  setService(takeupIndex: number, open: boolean, releasedMs: number, nowMs: number, out: Output[]): void {
    const page = this.page(takeupIndex);
    if (page.setService(open, releasedMs) && nowMs < Infinity) page.settle(nowMs, out);
  }

  /** A spring was replaced: its set-points follow the new one. */
  setSpring(takeupIndex: number, side: number, spring: Spring): void {
    if (this.page(takeupIndex).setSpring(side, spring)) this.limitsVersion++;
  }

  /** The conveyor runs (1), stands (0), or nobody knows (NaN): then what was suppressed stays so. Said for every reading. */
  runs(timeMs: number, running: number, out: Output[]): void {
    if (!this.stand.hear(timeMs, running)) return;
    if (this.stand.runs && this.stand.stands) this.standStill(false, timeMs, out);
    this.dueMoved();
  }

  private standStill(stands: boolean, timeMs: number, out: Output[]): void {
    this.stand.turn(stands);
    for (const page of this.pages) page.settle(timeMs, out);
  }

  /** The next time at which something falls due: a shelved alarm comes back, a stop or something told has lasted. */
  get dueMs(): number {
    return Math.min(this.stand.dueMs, this.shelvesDueMs, this.delays.dueMs);
  }

  /** Does what has fallen due by a time. */
  fallDue(nowMs: number, out: Output[]): void {
    if (this.stand.dueMs <= nowMs) this.standStill(true, this.stand.dueMs, out);
    if (this.delays.dueMs <= nowMs) {
      for (const { dueMs: timeMs, signal: name, value, ...told } of this.delays.over(nowMs)) {
        const signal = name === undefined ? undefined : this.signals.get(name);
        this.turnTold({ ...told, ...(signal ? { signal } : {}), timeMs, value: value ?? NaN }, out);
      }
    }
    if (this.shelvesDueMs > nowMs) return;
    for (const record of this.ordered()) {
      const untilMs = record.shelf?.untilMs ?? Infinity;
      if (untilMs <= nowMs) this.tellTurn(record, record.unshelve(untilMs, { why: 'its time was up' }), out);
    }
    this.lookAhead();
  }

  private lookAhead(): void {
    this.shelvesDueMs = Infinity;
    for (const { shelf } of this.records.values()) if (shelf && shelf.untilMs < this.shelvesDueMs) this.shelvesDueMs = shelf.untilMs;
  }

  /** Raises or clears an alarm that a step sees for itself, after a delay where the site gives one. */
  tell(what: TellAlarm, out: Output[]): void {
    const { takeup, key, signal, timeMs, value, ...seen } = what;
    const id = recordId(takeup, key, signal?.name);
    const delayMs = this.delays.delayMs(takeup, key, what.up);
    const news = what.up !== this.isUp(takeup, key, signal?.name);
    if (takeup !== undefined && news && delayMs > 0) {
      const named = signal === undefined ? {} : { signal: signal.name };
      this.delays.wait(id, { takeup, key, ...named, ...seen, value: Number.isFinite(value) ? value : null, dueMs: timeMs + delayMs });
      this.dueMoved();
      return;
    }
    this.delays.drop(id);
    this.turnTold(what, out);
  }

  private turnTold(what: TellAlarm, out: Output[]): void {
    const { takeup, key, timeMs, value } = what;
    const place: AlarmPlace = {
      conveyor: this.conveyor.id,
      ...(takeup === undefined ? {} : { takeup }),
      ...(what.signal === undefined ? {} : { signal: what.signal.name }),
    };
    const record = this.record(place, key, what.signal);
    const page = definitionOf(key).restsInService ? this.pageOf(takeup) : undefined;
    const seen = { value, limit: what.limit, side: what.side ?? null };
    if (what.up && !record.up) {
      // Whoever tells says it again when the service is closed.
      if (page?.serviceOpen === true) {
        record.hold(timeMs, seen);
        const event = record.suppress(timeMs, 'service');
        if (event) out.push(event);
      } else this.tellTurn(record, record.raise(Math.max(timeMs, page?.serviceReleasedMs ?? timeMs), seen), out);
    } else if (!what.up && record.up) this.tellTurn(record, record.clear(timeMs, value), out);
  }

  private pageOf(takeup: string | undefined): TakeupAlarms | undefined {
    return this.pages.find((page) => page.takeup.id === takeup);
  }

  /** Gives a transition out, and what follows from it for alarms that rest under this one, or that it rests under. */
  private tellTurn(record: AlarmRecord, event: AlarmOutput | undefined, out: Output[]): boolean {
    if (event === undefined) return false;
    out.push(event);
    this.pageOf(record.place.takeup)?.settle(event.timeMs, out);
    return true;
  }

  /** A person does something with an alarm. @returns false where it cannot be done with it as it is */
  act(name: AlarmName, what: AlarmAct, timeMs: number, out: Output[]): boolean {
    const record = this.named(name);
    if (record === undefined) return false;
    const done = this.tellTurn(record, turnBy(record, what, timeMs), out);
    this.lookAhead();
    return done;
  }

  /** The state of an alarm; undefined where the site has no such alarm. */
  stateOf(name: AlarmName): AlarmState | undefined {
    return this.named(name)?.state;
  }

  /**
   * Of the alarms of one key at a take-up, which are several where each sensor has its own, the one that matters most now.
   * @param signal - where the alarm belongs to no take-up: whose it is
   */
  foremost(takeup: string | undefined, key: AlarmKey, signal: string | undefined): AlarmRecord | undefined {
    const concerned = this.recordsOf(takeup).filter(
      (record) => record.key === key && (signal === undefined || record.place.signal === signal),
    );
    return concerned.sort((a, b) => FOREMOST.indexOf(a.state) - FOREMOST.indexOf(b.state))[0];
  }

  /** Alarms that are not normal, those of one take-up or, without one, of signals that belong to none. */
  standing(takeup: string | undefined): AlarmRecord[] {
    return this.recordsOf(takeup).filter((record) => record.state !== 'normal');
  }

  save(): AlarmBookSaved {
    const records: Record<string, AlarmRecordSaved> = {};
    for (const record of this.ordered()) {
      if (record.changedMs !== 0) records[recordId(record.place.takeup, record.key, record.place.signal)] = record.save();
    }
    const watches: Record<string, WatchSaved> = {};
    for (const page of this.pages) {
      for (const watch of page.watches) watches[`${page.takeup.id} ${watch.definition.key}`] = watch.save();
    }
    const [stand, told] = [this.stand.save(), this.delays.save()];
    return { records, watches, ...(stand && { stand }), ...(told && { told }) };
  }

  /** The records in the order of the alarm list, not of what happened to be said first. */
  private ordered(): readonly AlarmRecord[] {
    this.inOrder ??= [...this.records]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([, record]) => record)
      .sort((a, b) => ALARM_KEYS.indexOf(a.key) - ALARM_KEYS.indexOf(b.key));
    return this.inOrder;
  }

  private page(takeupIndex: number): TakeupAlarms {
    return this.pages[takeupIndex] as TakeupAlarms;
  }
}
