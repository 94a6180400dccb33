import type { Takeup } from '../../site/site.js';
import type { AlarmKey } from '../alarm-key.js';

/** An alarm that was told and waits for its delay: whose, which way, and what was seen. */
export interface WaitingTold {
  readonly takeup: string;
  readonly key: AlarmKey;
  readonly signal?: string;
  readonly side?: 'left' | 'right';
  readonly up: boolean;
  readonly value: number | null;
  readonly limit: number | null;
  readonly dueMs: number;
}

/**
 * On- and off-delays, where a site gives them, of the alarms that a step sees for itself. The list gives those none, or the step counts
 * its own: a lost signal is silent for ten periods, a fault shows three times.
 */
export class ToldDelays {
  private readonly waiting: Map<string, WaitingTold>;
  /** When the first delay is over. */
  dueMs = Infinity;

  constructor(
    private readonly takeups: readonly Takeup[],
    saved: Readonly<Record<string, WaitingTold>> = {},
  ) {
    this.waiting = new Map(Object.entries(saved));
    this.lookAhead();
  }

  /** How long what is told must last; 0 where at once. */
  delayMs(takeup: string | undefined, key: AlarmKey, up: boolean): number {
    const own = this.takeups.find(({ id }) => id === takeup)?.limits[key];
    // Whoever sees an unrecorded change counts its on-delay itself.
    const seconds = up ? (key === 'change-unrecorded' ? 0 : own?.['on_delay_s']) : own?.['off_delay_s'];
    return 1000 * (seconds ?? 0);
  }

  /** Lets something told wait, unless it waits already: told again, it waits from the first time on. */
  wait(id: string, told: WaitingTold): void {
    const before = this.waiting.get(id);
    this.waiting.set(id, before?.up === told.up ? { ...told, dueMs: before.dueMs } : told);
    this.lookAhead();
  }

  /** It is no longer so. */
  drop(id: string): void {
    if (this.waiting.delete(id)) this.lookAhead();
  }

  /** Takes out what has waited long enough by a time, the first first. */
  over(nowMs: number): readonly WaitingTold[] {
    const over = [...this.waiting].filter(([, { dueMs }]) => dueMs <= nowMs);
    for (const [id] of over) this.waiting.delete(id);
    this.lookAhead();
    return over.map(([, told]) => told).sort((a, b) => a.dueMs - b.dueMs);
  }

  private lookAhead(): void {
    this.dueMs = Infinity;
    for (const { dueMs } of this.waiting.values()) if (dueMs < this.dueMs) this.dueMs = dueMs;
  }

  /** Undefined where nothing waits. */
  save(): Readonly<Record<string, WaitingTold>> | undefined {
    return this.waiting.size === 0 ? undefined : Object.fromEntries([...this.waiting].sort(([a], [b]) => (a < b ? -1 : 1)));
  }
}
