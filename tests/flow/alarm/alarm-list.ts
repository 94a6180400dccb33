import type { AlarmKey, Priority } from '../../../agent/flow/alarm-key.js';

/** A row of the alarm list that judges a measure, as it stands in the design, for the take-up of the tests. */
export interface ListedAlarm {
  readonly key: AlarmKey;
  readonly priority: Priority;
  readonly side: boolean;
  /** Which way lies trouble. */
  readonly trouble: 'low' | 'high';
  readonly limit: number;
  readonly deadband: number;
  readonly unit: string;
  /** Seconds of time or of running, or readings in a row. */
  readonly on: { readonly seconds: number; readonly clock: 'time' | 'running' } | { readonly readings: number };
  readonly offSeconds: number;
  readonly needsRunning: boolean;
}

const time = (seconds: number): ListedAlarm['on'] => ({ seconds, clock: 'time' });
const running = (seconds: number): ListedAlarm['on'] => ({ seconds, clock: 'running' });

/**
 * The alarm list of the design, worked out by hand for a stroke of 230 mm, a spring of 320 mm free, 150 mm solid and 12 mm clearance,
 * a chain that bears 250 to 4000 N and a wear limit of 2 %.
 */
export const ALARM_LIST: readonly ListedAlarm[] = [
  // 20 % and 5 % of the stroke, back by 2 % of it.
  {
    key: 'stroke-low',
    priority: 'medium',
    side: false,
    trouble: 'low',
    limit: 46,
    deadband: 4.6,
    unit: 'mm',
    on: time(60),
    offSeconds: 0,
    needsRunning: false,
  },
  {
    key: 'stroke-end',
    priority: 'high',
    side: true,
    trouble: 'low',
    limit: 11.5,
    deadband: 4.6,
    unit: 'mm',
    on: time(10),
    offSeconds: 0,
    needsRunning: false,
  },
  {
    key: 'stroke-date',
    priority: 'low',
    side: false,
    trouble: 'low',
    limit: 30,
    deadband: 5,
    unit: 'days',
    on: time(0),
    offSeconds: 0,
    needsRunning: false,
  },
  // Solid + clearance, back by 10 % of the clearance; solid + 1 mm, back by 2 mm; and 5 s of it.
  {
    key: 'spring-near-solid',
    priority: 'high',
    side: true,
    trouble: 'low',
    limit: 162,
    deadband: 1.2,
    unit: 'mm',
    on: { readings: 2 },
    offSeconds: 5,
    needsRunning: false,
  },
  {
    key: 'spring-solid',
    priority: 'urgent',
    side: true,
    trouble: 'low',
    limit: 151,
    deadband: 2,
    unit: 'mm',
    on: { readings: 2 },
    offSeconds: 5,
    needsRunning: false,
  },
  // 10 % of free − solid, back by 2 % of it.
  {
    key: 'spring-slack',
    priority: 'medium',
    side: true,
    trouble: 'low',
    limit: 17,
    deadband: 3.4,
    unit: 'mm',
    on: time(60),
    offSeconds: 0,
    needsRunning: true,
  },
  {
    key: 'tension-low',
    priority: 'medium',
    side: false,
    trouble: 'low',
    limit: 250,
    deadband: 12.5,
    unit: 'N',
    on: time(60),
    offSeconds: 0,
    needsRunning: false,
  },
  {
    key: 'tension-high',
    priority: 'medium',
    side: false,
    trouble: 'high',
    limit: 4000,
    deadband: 200,
    unit: 'N',
    on: time(60),
    offSeconds: 0,
    needsRunning: false,
  },
  {
    key: 'carriage-skew',
    priority: 'low',
    side: false,
    trouble: 'high',
    limit: 15,
    deadband: 3,
    unit: 'mm',
    on: running(600),
    offSeconds: 0,
    needsRunning: true,
  },
  {
    key: 'carriage-stuck',
    priority: 'medium',
    side: false,
    trouble: 'low',
    limit: 0.2,
    deadband: 0.2,
    unit: 'ratio',
    on: running(24 * 3600),
    offSeconds: 0,
    needsRunning: true,
  },
  // 80 % and 100 % of the wear limit, back by 2 % of it.
  {
    key: 'wear-limit-near',
    priority: 'low',
    side: false,
    trouble: 'high',
    limit: 1.6,
    deadband: 0.04,
    unit: '%',
    on: time(0),
    offSeconds: 0,
    needsRunning: false,
  },
  {
    key: 'wear-limit',
    priority: 'medium',
    side: false,
    trouble: 'high',
    limit: 2,
    deadband: 0.04,
    unit: '%',
    on: time(0),
    offSeconds: 0,
    needsRunning: false,
  },
  {
    key: 'slack-date',
    priority: 'low',
    side: false,
    trouble: 'low',
    limit: 14,
    deadband: 5,
    unit: 'days',
    on: time(0),
    offSeconds: 0,
    needsRunning: false,
  },
];
