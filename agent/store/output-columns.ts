import type { FindingOutput, MinuteOutput, SettledDayOutput, TemperatureOutput } from '../flow/output.js';
import type { ColumnMap } from './columns.js';
import type { AlarmEvent, LoggedEntry } from './history.js';
import type { PageMessage, PageNote } from './page-outbox.js';

/** Where the fields of what is stored stand; the compiler sees to it that none is forgotten. */

export const DAY_COLUMNS = {
  date: 'date',
  windows: 'windows',
  positionMm: 'position_mm',
  skewMm: 'skew_mm',
  breathingMm: 'breathing_mm',
  thermalMm: 'thermal_mm',
  elasticMm: 'elastic_mm',
  pitches: 'pitches',
  elongationPct: 'elongation_pct',
  wearPerJointMm: 'wear_per_joint_mm',
  springLeftMm: 'spring_left_mm',
  springRightMm: 'spring_right_mm',
  strandTensionN: 'strand_tension_n',
  flag: 'flag',
} as const satisfies ColumnMap<Exclude<keyof SettledDayOutput, 'kind' | 'conveyor' | 'takeup'>>;

export const MINUTE_COLUMNS = {
  timeMs: 'time_ms',
  count: 'count',
  minMm: 'min_mm',
  maxMm: 'max_mm',
  meanMm: 'mean_mm',
  springMinMm: 'spring_min_mm',
  tensionN: 'tension_n',
  tensionMinN: 'tension_min_n',
  tensionMaxN: 'tension_max_n',
} as const satisfies ColumnMap<Exclude<keyof MinuteOutput, 'kind' | 'conveyor' | 'takeup'>>;

export const TEMPERATURE_COLUMNS = {
  timeMs: 'time_ms',
  count: 'count',
  minC: 'min_c',
  maxC: 'max_c',
  meanC: 'mean_c',
  chainC: 'chain_c',
} as const satisfies ColumnMap<Exclude<keyof TemperatureOutput, 'kind' | 'conveyor' | 'signal'>>;

export const EVENT_COLUMNS = {
  id: 'id',
  timeMs: 'time_ms',
  conveyor: 'conveyor',
  takeup: 'takeup',
  side: 'side',
  signal: 'signal',
  alarm: 'alarm',
  priority: 'priority',
  change: 'change',
  from: 'from_state',
  to: 'to_state',
  value: 'value',
  limit: 'limit_value',
  unit: 'unit',
  by: 'by_whom',
  why: 'why',
} as const satisfies ColumnMap<Exclude<keyof AlarmEvent, 'kind'>>;

export const FINDING_COLUMNS = {
  id: 'id',
  timeMs: 'time_ms',
  fromMs: 'from_ms',
  toMs: 'to_ms',
  conveyor: 'conveyor',
  takeup: 'takeup',
  finding: 'finding',
  moveMm: 'move_mm',
  suggestion: 'suggestion',
  text: 'text',
  state: 'state',
  by: 'by_whom',
} as const satisfies ColumnMap<Exclude<keyof FindingOutput, 'kind'>>;

export const ENTRY_COLUMNS = {
  id: 'id',
  timeMs: 'time_ms',
  takenMs: 'taken_ms',
  conveyor: 'conveyor',
  takeup: 'takeup',
  kind: 'kind',
  body: 'body',
} as const satisfies ColumnMap<keyof LoggedEntry>;

export const MESSAGE_COLUMNS = {
  id: 'id',
  call: 'call',
  person: 'person',
  channel: 'channel',
  address: 'address',
  madeMs: 'made_ms',
  body: 'body',
} as const satisfies ColumnMap<keyof PageMessage>;

export const NOTE_COLUMNS = {
  timeMs: 'time_ms',
  reason: 'reason',
  call: 'call',
  person: 'person',
  conveyor: 'conveyor',
  takeup: 'takeup',
  signal: 'signal',
  alarm: 'alarm',
} as const satisfies ColumnMap<keyof PageNote>;
