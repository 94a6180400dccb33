/** A field of an alarm's set-point that a site may override, under `limits:` of a take-up. */
export interface LimitField {
  readonly name: string;
  readonly unit: 'mm' | 'N' | 'days' | 'percent' | 'ratio' | 's' | "the alarm's own";
  readonly what: string;
}

const NO_FIELDS: readonly LimitField[] = [];

/** The fields that every alarm has beside its own. */
export const COMMON_LIMIT_FIELDS: readonly LimitField[] = [
  { name: 'on_delay_s', unit: 's', what: 'how long the condition must hold before the alarm is raised; default as in the alarm list' },
  { name: 'off_delay_s', unit: 's', what: 'how long the condition must be gone before the alarm clears; default as in the alarm list' },
  {
    name: 'deadband',
    unit: "the alarm's own",
    what: 'how far beyond its limit the value must return before the alarm clears; default as in the alarm list',
  },
];

/**
 * What a take-up's `limits:` may hold: the alarm keys, each with its own fields. Alarms without a set-point of their
 * own still take the common fields. `agent-silent` is not here: it watches the agent, and belongs to no take-up.
 */
export const LIMIT_FIELDS = {
  'stroke-low': [{ name: 'remaining_mm', unit: 'mm', what: 'remaining travel at or below which it is raised; default 20 % of the stroke' }],
  'stroke-end': [
    { name: 'remaining_mm', unit: 'mm', what: 'remaining travel, either side, at or below which it is raised; default 5 % of the stroke' },
  ],
  'stroke-date': [{ name: 'days', unit: 'days', what: 'days before the early stroke-out date; default 30' }],
  'spring-near-solid': [{ name: 'length_mm', unit: 'mm', what: 'spring length at or below which it is raised; default solid + clearance' }],
  'spring-solid': [{ name: 'length_mm', unit: 'mm', what: 'spring length at or below which it is raised; default solid + 1 mm' }],
  'spring-slack': [
    { name: 'compression_mm', unit: 'mm', what: 'compression at or below which it is raised; default 10 % of free − solid' },
  ],
  'tension-low': [{ name: 'tension_n', unit: 'N', what: "strand tension below which it is raised; default the chain's min_tension_n" }],
  'tension-high': [{ name: 'tension_n', unit: 'N', what: "strand tension above which it is raised; default the chain's max_tension_n" }],
  'carriage-skew': [{ name: 'skew_mm', unit: 'mm', what: 'difference of left and right at or above which it is raised; default 15' }],
  'carriage-stuck': [{ name: 'share', unit: 'ratio', what: 'share of its own normal breathing below which it is raised; default 0.2' }],
  'carriage-jump': [{ name: 'move_mm', unit: 'mm', what: 'move within 60 s at or above which it is raised; default 8' }],
  'change-unrecorded': [{ name: 'move_mm', unit: 'mm', what: 'lasting step at or above which an entry is expected; default 4' }],
  'wear-fast': [{ name: 'times', unit: 'ratio', what: 'how many times the slope before; default 1.5' }],
  'wear-limit-near': [
    { name: 'elongation_pct', unit: 'percent', what: "elongation at which it is raised; default 80 % of the chain's wear limit" },
  ],
  'wear-limit': [{ name: 'elongation_pct', unit: 'percent', what: "elongation at which it is raised; default the chain's wear limit" }],
  'slack-date': [{ name: 'days', unit: 'days', what: 'days before the early date on which the springs go slack; default 14' }],
  'signal-lost': NO_FIELDS,
  'signal-fault': NO_FIELDS,
  'signal-doubtful': NO_FIELDS,
} as const satisfies Readonly<Record<string, readonly LimitField[]>>;

/** An alarm whose set-points a take-up may override. */
export type LimitKey = keyof typeof LIMIT_FIELDS;

/** The keys of the table, in its order. */
export const LIMIT_KEYS = Object.keys(LIMIT_FIELDS) as readonly LimitKey[];

/** Priorities of IEC 62682, most pressing first, as a site file may give one. */
export const ALARM_PRIORITIES = ['urgent', 'high', 'medium', 'low'] as const;
export type AlarmPriority = (typeof ALARM_PRIORITIES)[number];

/** What of an alarm a take-up may have in other terms than the alarm list, beside its set-points: key in the file and what it is. */
export const TERM_FIELDS = {
  priority: 'how pressing it is; default as in the alarm list',
  consequence: 'what happens if nobody acts, in a sentence; default as in the alarm list',
  action: 'what to do, in a sentence; default as in the alarm list',
  respond_within_min: 'minutes there are to respond; default as in the alarm list',
  latch: 'whether it stays, its condition gone, until somebody has acknowledged it; default as in the alarm list',
} as const;
