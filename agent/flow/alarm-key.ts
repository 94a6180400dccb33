/** Every alarm key of the project, in the order in which a list shows them: what stops the conveyor first. */
export const ALARM_KEYS = [
  'spring-solid',
  'stroke-end',
  'spring-near-solid',
  'carriage-jump',
  'page-unanswered',
  'agent-silent',
  'stroke-low',
  'spring-slack',
  'tension-low',
  'tension-high',
  'carriage-stuck',
  'wear-limit',
  'signal-lost',
  'signal-fault',
  'signal-doubtful',
  'stroke-date',
  'slack-date',
  'carriage-skew',
  'change-unrecorded',
  'wear-fast',
  'wear-limit-near',
] as const;

export type AlarmKey = (typeof ALARM_KEYS)[number];

/** IEC 62682 priorities, most pressing first. */
export const PRIORITIES = ['urgent', 'high', 'medium', 'low'] as const;
export type Priority = (typeof PRIORITIES)[number];

/** Alarm states of IEC 62682 / ISA-18.2. */
export const ALARM_STATES = [
  'normal',
  'unacknowledged',
  'acknowledged',
  'returned-unacknowledged',
  'shelved',
  'suppressed-by-design',
  'out-of-service',
] as const;
export type AlarmState = (typeof ALARM_STATES)[number];

/** What suppresses an alarm by design: a service open on its take-up, a conveyor that stands, or an alarm that says more. */
export type SuppressedBy = 'service' | 'standing' | AlarmKey;
