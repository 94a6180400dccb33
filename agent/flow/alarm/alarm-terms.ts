import type { Signal, Takeup } from '../../site/site.js';
import type { AlarmKey, Priority } from '../alarm-key.js';
import { definitionOf, signalAlarmPriority } from './definitions.js';
import { ALARM_TEXTS, type AlarmText } from './texts.js';

/** What an alarm is to people: by the alarm list, or as the site has it for the take-up. */
export interface AlarmTerms {
  readonly priority: Priority;
  readonly unit: string;
  /** When its condition has gone it stays until somebody has acknowledged it. */
  readonly latch: boolean;
  readonly text: AlarmText;
}

/**
 * The terms of one alarm.
 * @param takeup - whose it is, and whose own terms go before those of the list; undefined for a signal that belongs to none
 */
export function termsOf(key: AlarmKey, takeup: Takeup | undefined, signal: Signal | undefined): AlarmTerms {
  const definition = definitionOf(key);
  const { priority, latch, ...words } = takeup?.alarmTerms[key] ?? {};
  return {
    priority: priority ?? (signal ? signalAlarmPriority(key, signal.quantity) : definition.priority),
    unit: key === 'signal-fault' && signal ? signal.unit : definition.unit,
    latch: latch ?? definition.latches,
    text: { ...ALARM_TEXTS[key], ...words },
  };
}
