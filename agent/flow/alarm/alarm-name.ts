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

/**
 * Whether an alarm is named as its kind is: one of a signal by its signal, and by the take-up whose sensor that is; any other by its
 * take-up; that a page was not answered by whichever of the two the page was about.
 */
export function isNamedWell(key: AlarmKey, takeup: string | undefined, name: string | undefined, signal: Signal | undefined): boolean {
  if (key.startsWith('signal-')) return signal !== undefined && takeupOf(signal) === takeup;
  if (key === 'page-unanswered' && takeup === undefined) return signal !== undefined && takeupOf(signal) === undefined;
  return takeup !== undefined && name === undefined;
}

/** Whose sensor a signal is; undefined where it belongs to no take-up. */
function takeupOf({ name, quantity }: Signal): string | undefined {
  return quantity === 'position' || quantity === 'spring' ? name.split('/')[1] : undefined;
}

export function recordId(takeup: string | undefined, key: string, signal: string | undefined): string {
  return `${takeup ?? ''} ${key} ${signal ?? ''}`;
}
