import type { SideName } from '../../site/site.js';
import type { AlarmKey, AlarmState, Priority } from '../alarm-key.js';
import type { AlarmOutput } from '../output.js';

/** Whose alarm it is. */
export interface AlarmPlace {
  readonly conveyor: string;
  readonly takeup?: string;
  readonly signal?: string;
}

export interface AlarmRecordSaved {
  readonly active: boolean;
  readonly acknowledged: boolean;
  readonly sinceMs: number;
  readonly changedMs: number;
  readonly value: number | null;
  readonly limit: number | null;
  readonly side: SideName | null;
}

/**
 * One alarm and its state of IEC 62682: normal, unacknowledged, acknowledged, returned unacknowledged. A condition that comes back
 * before anybody acknowledged its last occurrence is unacknowledged again; it was never normal in between.
 */
export class AlarmRecord {
  sinceMs = 0;
  changedMs = 0;
  value: number | null = null;
  limit: number | null = null;
  side: SideName | null = null;
  private active = false;
  private acknowledged = true;

  constructor(
    readonly place: AlarmPlace,
    readonly key: AlarmKey,
    readonly priority: Priority,
    readonly unit: string,
    saved?: AlarmRecordSaved,
  ) {
    if (saved) {
      this.active = saved.active;
      this.acknowledged = saved.acknowledged;
      this.sinceMs = saved.sinceMs;
      this.changedMs = saved.changedMs;
      this.value = saved.value;
      this.limit = saved.limit;
      this.side = saved.side;
    }
  }

  get state(): AlarmState {
    if (this.active) return this.acknowledged ? 'acknowledged' : 'unacknowledged';
    return this.acknowledged ? 'normal' : 'returned-unacknowledged';
  }

  get up(): boolean {
    return this.active;
  }

  raise(timeMs: number, value: number, limit: number | null, side: SideName | null): AlarmOutput {
    const from = this.state;
    this.active = true;
    this.acknowledged = false;
    this.sinceMs = timeMs;
    this.value = Number.isFinite(value) ? value : null;
    this.limit = limit;
    this.side = side;
    return this.event(timeMs, 'raised', from);
  }

  clear(timeMs: number, value: number): AlarmOutput {
    const from = this.state;
    this.active = false;
    this.value = Number.isFinite(value) ? value : null;
    return this.event(timeMs, 'cleared', from);
  }

  /** @returns undefined where there is nothing to acknowledge */
  acknowledge(timeMs: number, by: string): AlarmOutput | undefined {
    if (this.acknowledged) return undefined;
    const from = this.state;
    this.acknowledged = true;
    return { ...this.event(timeMs, 'acknowledged', from), by };
  }

  private event(timeMs: number, change: AlarmOutput['change'], from: AlarmState): AlarmOutput {
    this.changedMs = timeMs;
    return {
      kind: 'alarm',
      timeMs,
      conveyor: this.place.conveyor,
      ...(this.place.takeup === undefined ? {} : { takeup: this.place.takeup }),
      ...(this.side === null ? {} : { side: this.side }),
      ...(this.place.signal === undefined ? {} : { signal: this.place.signal }),
      alarm: this.key,
      priority: this.priority,
      change,
      from,
      to: this.state,
      value: this.value,
      limit: this.limit,
      unit: this.unit,
    };
  }

  save(): AlarmRecordSaved {
    return {
      active: this.active,
      acknowledged: this.acknowledged,
      sinceMs: this.sinceMs,
      changedMs: this.changedMs,
      value: this.value,
      limit: this.limit,
      side: this.side,
    };
  }
}
