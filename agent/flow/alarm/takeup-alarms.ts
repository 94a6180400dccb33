import type { Conveyor, Spring, Takeup } from '../../site/site.js';
import type { AlarmKey, SuppressedBy } from '../alarm-key.js';
import type { Output } from '../output.js';
import type { AlarmRecord } from './alarm-record.js';
import type { LimitContext, Measure } from './definition.js';
import { ALARM_DEFINITIONS, definitionOf } from './definitions.js';
import { Watch, type Suppressor, type WatchSaved } from './watch.js';

/** The alarms of one take-up: a watch for every row that judges a measure, and what suppresses them by design. */
export class TakeupAlarms {
  readonly watches: readonly Watch[];
  private readonly byMeasure = new Map<Measure, readonly Watch[]>();
  private readonly springs: [Spring, Spring];
  private readonly service = { up: false, releasedMs: -Infinity };

  /**
   * @param recordOf - the record of one of its alarms
   * @param records - all that it has, those of its signals too
   */
  constructor(
    private readonly conveyor: Conveyor,
    readonly takeup: Takeup,
    private readonly recordOf: (key: AlarmKey) => AlarmRecord,
    private readonly records: () => Iterable<AlarmRecord>,
    private readonly conveyorStands: () => boolean,
    saved: (key: AlarmKey) => WatchSaved | undefined,
  ) {
    this.springs = [takeup.spring, takeup.spring];
    const contexts = [0, 1].map((side) => this.contextOf(side)) as [LimitContext, LimitContext];
    this.watches = ALARM_DEFINITIONS.filter(({ measure }) => measure !== 'told').map((definition) => {
      const suppressors: Suppressor[] = definition.restsInService ? [this.service] : [];
      if (definition.under !== null) suppressors.push(restUnder(recordOf(definition.under)));
      return new Watch(definition, recordOf(definition.key), contexts, suppressors, saved(definition.key), (atMs, out) => {
        this.settle(atMs, out);
      });
    });
    for (const watch of this.watches) {
      const { measure } = watch.definition;
      this.byMeasure.set(measure, [...this.watchesOf(measure), watch]);
    }
  }

  private contextOf(side: number): LimitContext {
    return { takeup: this.takeup, chain: this.conveyor.chain, spring: this.springs[side] as Spring };
  }

  watchesOf(measure: Measure): readonly Watch[] {
    return this.byMeasure.get(measure) ?? [];
  }

  get serviceOpen(): boolean {
    return this.service.up;
  }

  /** When the last service was closed: nothing from before may raise an alarm at its own time. −Infinity where there never was one. */
  get serviceReleasedMs(): number {
    return this.service.releasedMs;
  }

  /** A service is open, or none has been since a time. @returns whether that is news */
  setService(open: boolean, releasedMs: number): boolean {
    const news = this.service.up !== open;
    this.service.up = open;
    this.service.releasedMs = releasedMs;
    return news;
  }

  /** A spring was replaced: its set-points follow the new one. @returns whether that is news */
  setSpring(side: number, spring: Spring): boolean {
    if (this.springs[side] === spring) return false;
    this.springs[side] = spring;
    const context = this.contextOf(side);
    for (const watch of this.watches) watch.setLimit(side, context);
    return true;
  }

  /**
   * Sees to what is suppressed by design after something has changed. Only alarms that are not normal, or that would be raised, are
   * suppressed: of the rest there is nothing to tell.
   */
  settle(timeMs: number, out: Output[]): void {
    for (const record of this.records()) {
      const cause = this.causeFor(record);
      const event =
        cause === undefined
          ? record.release(timeMs)
          : record.suppressedBy !== undefined || record.concerned || this.isHeld(record.key)
            ? record.suppress(timeMs, cause)
            : undefined;
      if (event) out.push(event);
    }
  }

  private isHeld(key: AlarmKey): boolean {
    return this.watches.some((watch) => watch.definition.key === key && watch.holding);
  }

  /** What suppresses an alarm now. One whose condition has gone needs nothing to run any more. */
  private causeFor(record: AlarmRecord): SuppressedBy | undefined {
    const { restsInService, under, needsRunning } = definitionOf(record.key);
    if (restsInService && this.service.up) return 'service';
    if (under !== null && this.recordOf(under).announced) return under;
    return needsRunning && record.up && this.conveyorStands() ? 'standing' : undefined;
  }
}

/** An alarm rests under one that says more, while people are told of that one. */
function restUnder(record: AlarmRecord): Suppressor {
  return {
    get up() {
      return record.announced;
    },
  };
}
