import type { AlarmState } from '../../../agent/flow/alarm-key.js';
import type { StandingEntry } from '../../server/logic/live-messages.js';
import { alarmWords, isUp, priorityWords } from './alarm-words.js';

/** What a screen reader is told: that an alarm came or went, and of what. */
export interface AlarmNews {
  /** Said at once, in the middle of anything; the others wait for a pause. */
  readonly pressing: boolean;
  readonly text: string;
}

/** What somebody, or the design, has set aside is not over. */
const ASIDE: Readonly<Partial<Record<AlarmState, string>>> = {
  shelved: 'Shelved',
  'suppressed-by-design': 'Suppressed by design',
  'out-of-service': 'Out of service',
};

/**
 * What changed among the standing alarms. Figures that move and alarms that are merely acknowledged are no news.
 *
 * @param placeOf - how people call the place of an alarm
 */
export function alarmNews(
  before: readonly StandingEntry[],
  after: readonly StandingEntry[],
  placeOf: (alarm: StandingEntry) => string,
): readonly AlarmNews[] {
  const [was, is] = [before, after].map((list) => new Map(list.filter(stands).map((alarm) => [alarm.id, alarm]))) as [
    Map<string, StandingEntry>,
    Map<string, StandingEntry>,
  ];
  const raised = [...is.values()].filter(({ id }) => !was.has(id));
  const cleared = [...was.values()].filter(({ id }) => !is.has(id));
  return [
    ...raised.map((alarm) => ({
      pressing: alarm.priority === 'urgent' || alarm.priority === 'high',
      text: `${priorityWords(alarm.priority)} alarm: ${alarmWords(alarm.alarm)}, ${placeOf(alarm)}.`,
    })),
    ...cleared.map((alarm) => {
      const state = after.find(({ id }) => id === alarm.id)?.state;
      const what = (state && ASIDE[state]) ?? 'No longer';
      return { pressing: false, text: `${what}: ${alarmWords(alarm.alarm)}, ${placeOf(alarm)}.` };
    }),
  ];
}

function stands({ state }: StandingEntry): boolean {
  return isUp(state);
}
