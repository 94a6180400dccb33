import type { AlarmKey, Priority } from '../alarm-key.js';
import type { AlarmDefinition, LimitContext, OnDelay } from './definition.js';

const time = (seconds: number): OnDelay => ({ by: 'time', seconds });
const travelOf = ({ spring }: LimitContext): number => spring.freeMm - spring.solidMm;

/** What most rows share; a row says only what is its own. */
const USUAL = {
  beyond: 'at-or-above',
  unit: 'mm',
  field: null,
  limit: () => undefined,
  deadband: () => 0,
  on: time(0),
  offSeconds: 0,
  clearsPast: false,
  needsRunning: false,
  latches: false,
  under: null,
  restsInService: true,
} as const;

/**
 * The alarm list of the design: one row an alarm, from which code, site file, documents and screens take it. Of two rows over one measure
 * the greater stands first: it is judged first, and the lesser then rests under it.
 */
export const ALARM_DEFINITIONS: readonly AlarmDefinition[] = Object.freeze<AlarmDefinition[]>([
  {
    ...USUAL,
    key: 'stroke-low',
    priority: 'medium',
    measure: 'remaining',
    beyond: 'at-or-below',
    field: 'remaining_mm',
    limit: ({ takeup }) => 0.2 * takeup.strokeMm,
    deadband: (_, { takeup }) => 0.02 * takeup.strokeMm,
    on: time(60),
    under: 'stroke-end',
  },
  {
    ...USUAL,
    key: 'stroke-end',
    priority: 'high',
    measure: 'remaining-side',
    beyond: 'at-or-below',
    field: 'remaining_mm',
    limit: ({ takeup }) => 0.05 * takeup.strokeMm,
    deadband: (_, { takeup }) => 0.02 * takeup.strokeMm,
    on: time(10),
  },
  {
    ...USUAL,
    key: 'stroke-date',
    priority: 'low',
    measure: 'stroke-out-days',
    beyond: 'at-or-below',
    unit: 'days',
    field: 'days',
    limit: () => 30,
    deadband: () => 5,
    clearsPast: true,
  },
  {
    ...USUAL,
    key: 'spring-solid',
    priority: 'urgent',
    measure: 'spring-side',
    beyond: 'at-or-below',
    field: 'length_mm',
    limit: ({ spring }) => spring.solidMm + 1,
    deadband: () => 2,
    on: { by: 'readings', readings: 2 },
    offSeconds: 5,
  },
  {
    ...USUAL,
    key: 'spring-near-solid',
    priority: 'high',
    measure: 'spring-side',
    beyond: 'at-or-below',
    field: 'length_mm',
    limit: ({ spring }) => spring.solidMm + spring.clearanceMm,
    deadband: (_, { spring }) => 0.1 * spring.clearanceMm,
    on: { by: 'readings', readings: 2 },
    offSeconds: 5,
    under: 'spring-solid',
  },
  {
    ...USUAL,
    key: 'spring-slack',
    priority: 'medium',
    measure: 'compression-side',
    beyond: 'at-or-below',
    field: 'compression_mm',
    limit: (context) => 0.1 * travelOf(context),
    deadband: (_, context) => 0.02 * travelOf(context),
    on: time(60),
    needsRunning: true,
  },
  {
    ...USUAL,
    key: 'tension-low',
    priority: 'medium',
    measure: 'tension',
    beyond: 'at-or-below',
    unit: 'N',
    field: 'tension_n',
    limit: ({ chain }) => chain.minTensionN,
    deadband: (limit) => 0.05 * limit,
    on: time(60),
  },
  {
    ...USUAL,
    key: 'tension-high',
    priority: 'medium',
    measure: 'tension',
    unit: 'N',
    field: 'tension_n',
    limit: ({ chain }) => chain.maxTensionN,
    deadband: (limit) => 0.05 * limit,
    on: time(60),
  },
  {
    ...USUAL,
    key: 'carriage-skew',
    priority: 'low',
    measure: 'skew',
    field: 'skew_mm',
    limit: () => 15,
    deadband: () => 3,
    on: { by: 'running', seconds: 600 },
    needsRunning: true,
  },
  {
    ...USUAL,
    key: 'carriage-stuck',
    priority: 'medium',
    measure: 'breathing-share',
    beyond: 'at-or-below',
    unit: 'ratio',
    field: 'share',
    limit: () => 0.2,
    deadband: (limit) => limit,
    clearsPast: true,
    on: { by: 'running', seconds: 24 * 3600 },
    needsRunning: true,
  },
  {
    ...USUAL,
    key: 'carriage-jump',
    priority: 'high',
    measure: 'told',
    field: 'move_mm',
    limit: () => 8,
    latches: true,
  },
  {
    ...USUAL,
    key: 'change-unrecorded',
    priority: 'low',
    measure: 'told',
    field: 'move_mm',
    limit: () => 4,
  },
  {
    ...USUAL,
    key: 'wear-fast',
    priority: 'low',
    measure: 'told',
    unit: 'ratio',
    field: 'times',
    limit: () => 1.5,
  },
  {
    ...USUAL,
    key: 'wear-limit',
    priority: 'medium',
    measure: 'elongation',
    unit: '%',
    field: 'elongation_pct',
    limit: ({ chain }) => chain.wearLimitPct,
    deadband: (_, { chain }) => 0.02 * chain.wearLimitPct,
  },
  {
    ...USUAL,
    key: 'wear-limit-near',
    priority: 'low',
    measure: 'elongation',
    unit: '%',
    field: 'elongation_pct',
    limit: ({ chain }) => 0.8 * chain.wearLimitPct,
    deadband: (_, { chain }) => 0.02 * chain.wearLimitPct,
    under: 'wear-limit',
  },
  {
    ...USUAL,
    key: 'slack-date',
    priority: 'low',
    measure: 'slack-days',
    beyond: 'at-or-below',
    unit: 'days',
    field: 'days',
    limit: () => 14,
    deadband: () => 5,
    clearsPast: true,
  },
  {
    ...USUAL,
    key: 'signal-lost',
    priority: 'medium',
    measure: 'told',
    unit: 's',
    restsInService: false,
  },
  {
    ...USUAL,
    key: 'signal-fault',
    priority: 'medium',
    measure: 'told',
    restsInService: false,
  },
  {
    ...USUAL,
    key: 'signal-doubtful',
    priority: 'low',
    measure: 'told',
    restsInService: false,
  },
  { ...USUAL, key: 'page-unanswered', priority: 'urgent', measure: 'told', unit: 's', restsInService: false },
  {
    ...USUAL,
    key: 'agent-silent',
    priority: 'high',
    measure: 'told',
    unit: 's',
    restsInService: false,
  },
]);

const BY_KEY = new Map(ALARM_DEFINITIONS.map((definition) => [definition.key, definition]));

/** The row of an alarm. */
export function definitionOf(key: AlarmKey): AlarmDefinition {
  const definition = BY_KEY.get(key);
  if (definition === undefined) throw new Error(`the alarm list has no row for ${key}`);
  return definition;
}

/** A signal that is no carriage position matters less: its alarms are low. That nobody answers is urgent whatever it is about. */
export function signalAlarmPriority(key: AlarmKey, quantity: string): Priority {
  return quantity === 'position' || key === 'page-unanswered' ? definitionOf(key).priority : 'low';
}
