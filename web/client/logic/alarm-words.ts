import type { AlarmKey, AlarmState, Priority } from '../../../agent/flow/alarm-key.js';

const ALARM_WORDS: Readonly<Record<AlarmKey, string>> = {
  'spring-solid': 'Spring solid',
  'stroke-end': 'Travel nearly used up',
  'spring-near-solid': 'Spring near solid',
  'carriage-jump': 'Carriage jumped',
  'page-unanswered': 'Page not answered',
  'agent-silent': 'Agent silent',
  'stroke-low': 'Travel low',
  'spring-slack': 'Spring slack',
  'tension-low': 'Tension low',
  'tension-high': 'Tension high',
  'carriage-stuck': 'Carriage not moving',
  'wear-limit': 'Chain worn out',
  'signal-lost': 'Sensor silent',
  'signal-fault': 'Sensor fault',
  'signal-doubtful': 'Sensor doubtful',
  'stroke-date': 'Travel used up soon',
  'slack-date': 'Spring slack soon',
  'carriage-skew': 'Carriage skewed',
  'change-unrecorded': 'Change not recorded',
  'wear-fast': 'Wearing fast',
  'wear-limit-near': 'Chain near wear limit',
};

/** An alarm's name for people; a key that this screen does not know yet is shown as it is. */
export function alarmWords(alarm: string): string {
  return (ALARM_WORDS as Readonly<Record<string, string>>)[alarm] ?? alarm;
}

/** Which alarm it is, at a known place: with the sensor that it is of, or the side on which it was seen. */
export function alarmTitle({ alarm, takeup, side, signal }: Titled): string {
  // A signal of a take-up is named `<conveyor>/<takeup>/left/position`; others are a place of their own.
  const sensor = signal === undefined || takeup === undefined ? '' : signal.split('/').slice(2).join(' ');
  const which = sensor === '' ? (side ?? '') : sensor;
  return which === '' ? alarmWords(alarm) : `${alarmWords(alarm)}, ${which}`;
}

interface Titled {
  readonly alarm: string;
  readonly takeup?: string;
  readonly side?: string;
  readonly signal?: string;
}

const STATE_WORDS: Readonly<Record<AlarmState, string>> = {
  normal: 'normal',
  unacknowledged: 'not acknowledged',
  acknowledged: 'acknowledged',
  'returned-unacknowledged': 'back to normal, not acknowledged',
  shelved: 'shelved',
  'suppressed-by-design': 'suppressed by design',
  'out-of-service': 'out of service',
};

export function stateWords(state: AlarmState): string {
  return STATE_WORDS[state];
}

const PRIORITY_WORDS: Readonly<Record<Priority, string>> = { urgent: 'Urgent', high: 'High', medium: 'Medium', low: 'Low' };

/** Every priority, most pressing first. */
export const PRIORITY_CHOICES = Object.keys(PRIORITY_WORDS) as readonly Priority[];

export function priorityWords(priority: Priority): string {
  return PRIORITY_WORDS[priority];
}

const PRIORITY_RANK: Readonly<Record<Priority, number>> = { urgent: 0, high: 1, medium: 2, low: 3 };

/** 0 for the most pressing. */
export function priorityRank(priority: Priority): number {
  return PRIORITY_RANK[priority];
}

/** Whether an alarm asks for somebody: one that is shelved, suppressed or out of service does not. */
export function callsForSomeone(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'acknowledged' || state === 'returned-unacknowledged';
}

/** Whether the condition is there; one that is over may still wait to be acknowledged. */
export function isUp(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'acknowledged';
}

/** Whether nobody has acknowledged it yet. */
export function isNew(state: AlarmState): boolean {
  return state === 'unacknowledged' || state === 'returned-unacknowledged';
}
