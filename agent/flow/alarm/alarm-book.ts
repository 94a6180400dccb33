import { conveyorSignals, type Conveyor, type SideName, type Signal, type Spring, type Takeup } from '../../site/site.js';
import { ALARM_KEYS, type AlarmKey, type AlarmState } from '../alarm-key.js';
import type { Output } from '../output.js';
import { AlarmRecord, type AlarmPlace, type AlarmRecordSaved } from './alarm-record.js';
import { ALARM_DEFINITIONS, definitionOf, signalAlarmPriority, type LimitContext, type Measure } from './definitions.js';
import { Watch, type WatchSaved } from './watch.js';

export interface AlarmBookSaved {
  readonly records: Readonly<Record<string, AlarmRecordSaved>>;
  readonly watches: Readonly<Record<string, WatchSaved>>;
}

/** States by how much they want somebody. */
const FOREMOST: readonly AlarmState[] = ['unacknowledged', 'acknowledged', 'returned-unacknowledged', 'normal'];

/** The alarms of one take-up: a watch for every row that judges a measure, and the records of all. */
interface TakeupPage {
  readonly takeup: Takeup;
  readonly springs: [Spring, Spring];
  readonly byMeasure: Map<Measure, readonly Watch[]>;
  readonly watches: readonly Watch[];
  readonly service: { up: boolean; releasedMs: number };
}

/** Every alarm of one conveyor: the one evaluator over the table of definitions. */
export class AlarmBook {
  private readonly records = new Map<string, AlarmRecord>();
  private readonly pages: readonly TakeupPage[];

  constructor(
    private readonly conveyor: Conveyor,
    private readonly saved?: AlarmBookSaved,
  ) {
    this.pages = conveyor.takeups.map((takeup) => this.openPage(takeup));
    for (const id of Object.keys(saved?.records ?? {})) this.reopen(id);
  }

  private openPage(takeup: Takeup): TakeupPage {
    const springs: [Spring, Spring] = [takeup.spring, takeup.spring];
    const page: TakeupPage = { takeup, springs, byMeasure: new Map(), watches: [], service: { up: false, releasedMs: -Infinity } };
    const contexts = [0, 1].map((side) => this.contextOf(page, side)) as [LimitContext, LimitContext];
    const watches = ALARM_DEFINITIONS.filter((definition) => definition.measure !== 'told').map((definition) => {
      const record = this.record({ conveyor: this.conveyor.id, takeup: takeup.id }, definition.key);
      const suppressors = [
        ...(definition.restsInService ? [page.service] : []),
        ...(definition.under === null ? [] : [this.record({ conveyor: this.conveyor.id, takeup: takeup.id }, definition.under)]),
      ];
      return new Watch(definition, record, contexts, suppressors, this.saved?.watches[`${takeup.id} ${definition.key}`]);
    });
    for (const watch of watches) {
      const { measure } = watch.definition;
      page.byMeasure.set(measure, [...(page.byMeasure.get(measure) ?? []), watch]);
    }
    return { ...page, watches };
  }

  private contextOf(page: TakeupPage, side: number): LimitContext {
    return { takeup: page.takeup, chain: this.conveyor.chain, spring: page.springs[side] as Spring };
  }

  private record(place: AlarmPlace, key: AlarmKey, signal?: Signal): AlarmRecord {
    const id = recordId(place.takeup, key, place.signal);
    let record = this.records.get(id);
    if (record === undefined) {
      const definition = definitionOf(key);
      const priority = signal ? signalAlarmPriority(key, signal.quantity) : definition.priority;
      const unit = key === 'signal-fault' && signal ? signal.unit : definition.unit;
      record = new AlarmRecord(place, key, priority, unit, this.saved?.records[id]);
      this.records.set(id, record);
    }
    return record;
  }

  /**
   * A saved alarm that is told rather than watched has no record until something is said of it: this one has a past. An alarm of a
   * take-up or a signal that the site no longer has is let go, since nothing could ever clear it.
   */
  private reopen(id: string): void {
    const [takeup = '', key = '', name = ''] = id.split(' ');
    const known = ALARM_KEYS.find((candidate) => candidate === key);
    const signal = conveyorSignals(this.conveyor).find((candidate) => candidate.name === name);
    const here = takeup === '' || this.conveyor.takeups.some((candidate) => candidate.id === takeup);
    if (known === undefined || !here || (name !== '' && signal === undefined)) return;
    const place = { conveyor: this.conveyor.id, ...(takeup === '' ? {} : { takeup }), ...(name === '' ? {} : { signal: name }) };
    this.record(place, known, signal);
  }

  /** The watches over a measure of one take-up: looked up once, judged for every reading. */
  watchesOf(takeupIndex: number, measure: Measure): readonly Watch[] {
    return this.page(takeupIndex).byMeasure.get(measure) ?? [];
  }

  isUp(takeup: string | undefined, key: AlarmKey, signal?: string): boolean {
    return this.records.get(recordId(takeup, key, signal))?.up ?? false;
  }

  serviceOpen(takeupIndex: number): boolean {
    return this.page(takeupIndex).service.up;
  }

  /** A service is open on a take-up, or none has been since a time: −Infinity where there never was one. */
  setService(takeupIndex: number, open: boolean, releasedMs: number): void {
    const { service } = this.page(takeupIndex);
    service.up = open;
    service.releasedMs = releasedMs;
  }

  /** A spring was replaced: its set-points follow the new one. */
  setSpring(takeupIndex: number, side: number, spring: Spring): void {
    const page = this.page(takeupIndex);
    if (page.springs[side] === spring) return;
    page.springs[side] = spring;
    const context = this.contextOf(page, side);
    for (const watch of page.watches) watch.setLimit(side, context);
  }

  /** Raises or clears an alarm that a step sees for itself. */
  tell(what: TellAlarm, out: Output[]): void {
    const { takeup, key, timeMs, value } = what;
    const place: AlarmPlace = {
      conveyor: this.conveyor.id,
      ...(takeup === undefined ? {} : { takeup }),
      ...(what.signal === undefined ? {} : { signal: what.signal.name }),
    };
    const record = this.record(place, key, what.signal);
    const service = definitionOf(key).restsInService ? this.pages.find((page) => page.takeup.id === takeup)?.service : undefined;
    if (what.up && !record.up) {
      // Whoever tells says it again when the service is closed.
      if (service?.up !== true)
        out.push(record.raise(Math.max(timeMs, service?.releasedMs ?? timeMs), value, what.limit, what.side ?? null));
    } else if (!what.up && record.up) out.push(record.clear(timeMs, value));
  }

  /** @returns false where no such alarm waits for it */
  acknowledge(takeup: string | undefined, key: string, signal: string | undefined, by: string, timeMs: number, out: Output[]): boolean {
    const event = this.records.get(recordId(takeup, key, signal))?.acknowledge(timeMs, by);
    if (event) out.push(event);
    return event !== undefined;
  }

  /** Whether an alarm waits to be acknowledged. */
  waits(takeup: string | undefined, key: string, signal: string | undefined): boolean {
    const state = this.records.get(recordId(takeup, key, signal))?.state;
    return state === 'unacknowledged' || state === 'returned-unacknowledged';
  }

  /**
   * Of the alarms of one key at a take-up, which are several where each sensor has its own, the one that matters most now.
   * @param signal - where the alarm belongs to no take-up: whose it is
   */
  foremost(takeup: string | undefined, key: AlarmKey, signal: string | undefined): AlarmRecord | undefined {
    const concerned = [...this.records.values()].filter(
      (record) => record.place.takeup === takeup && record.key === key && (signal === undefined || record.place.signal === signal),
    );
    return concerned.sort((a, b) => FOREMOST.indexOf(a.state) - FOREMOST.indexOf(b.state))[0];
  }

  /** Alarms that are not normal, those of one take-up or, without one, of signals that belong to none. */
  standing(takeup: string | undefined): AlarmRecord[] {
    return this.ordered().filter((record) => record.place.takeup === takeup && record.state !== 'normal');
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
    return { records, watches };
  }

  /** The records in the order of the alarm list, not of what happened to be said first. */
  private ordered(): AlarmRecord[] {
    const byId = [...this.records].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, record]) => record);
    return byId.sort((a, b) => ALARM_KEYS.indexOf(a.key) - ALARM_KEYS.indexOf(b.key));
  }

  private page(takeupIndex: number): TakeupPage {
    return this.pages[takeupIndex] as TakeupPage;
  }
}

export interface TellAlarm {
  readonly key: AlarmKey;
  readonly takeup: string | undefined;
  readonly signal?: Signal;
  readonly side?: SideName;
  readonly up: boolean;
  readonly timeMs: number;
  readonly value: number;
  readonly limit: number | null;
}

function recordId(takeup: string | undefined, key: string, signal: string | undefined): string {
  return `${takeup ?? ''} ${key} ${signal ?? ''}`;
}
