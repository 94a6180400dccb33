import type { SideName, Signal } from '../../site/site.js';
import type { AlarmKey } from '../alarm-key.js';

/** Which alarm is meant. Those of a signal name it; those of a signal that belongs to no take-up name only that. */
export interface AlarmName {
  readonly takeup?: string | undefined;
  readonly alarm: string;
  readonly signal?: string | undefined;
}

/** What a step says of an alarm that it sees for itself. */
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

/** Whether a signal is one of a take-up's own sensors, or, where none is named, of none. */
export function belongs(signal: Signal, takeup: string | undefined): boolean {
  const own = signal.quantity === 'position' || signal.quantity === 'spring';
  return own ? signal.name.split('/')[1] === takeup : takeup === undefined;
}

export function recordId(takeup: string | undefined, key: string, signal: string | undefined): string {
  return `${takeup ?? ''} ${key} ${signal ?? ''}`;
}
