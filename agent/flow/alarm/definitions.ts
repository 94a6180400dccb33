import type { Chain, Spring, Takeup } from '../../site/site.js';
import type { AlarmKey, Priority } from '../alarm-key.js';

/** What an alarm watches. The steps to the left give each of these a value; one row below says what is too much. */
export type Measure =
  | 'remaining' // mm, smoothed mean of the sides
  | 'remaining-side' // mm, either side, spike-free
  | 'spring-side' // mm, either side, spike-free
  | 'compression-side' // mm, either side, smoothed
  | 'tension' // N, strand, smoothed
  | 'skew' // mm, |left − right|, smoothed
  | 'breathing-share' // breathing over its own normal
  | 'elongation' // %
  | 'stroke-out-days' // days to the early stroke-out date
  | 'slack-days' // days to the early spring-slack date
  | 'told'; // the step that sees it says so itself

/** What set-points may depend on. */
export interface LimitContext {
  readonly takeup: Takeup;
  readonly chain: Chain;
  /** The spring of the side judged, as it is now. */
  readonly spring: Spring;
}

/** The on-delay: by time, by running time, or by readings in a row. */
export type OnDelay =
  | { readonly by: 'time'; readonly seconds: number }
  | { readonly by: 'running'; readonly seconds: number }
  | { readonly by: 'readings'; readonly readings: number };

export interface AlarmDefinition {
  readonly key: AlarmKey;
  readonly priority: Priority;
  readonly measure: Measure;
  /** On which side of the limit the alarm is. */
  readonly beyond: 'at-or-below' | 'at-or-above';
  readonly unit: 'mm' | 'N' | '%' | 'days' | 'ratio' | 's';
  /** The field of `limits:` that overrides the set-point. */
  readonly field: string | null;
  /** The set-point by default; undefined where the alarm is off. */
  readonly limit: (context: LimitContext) => number | undefined;
  /** Distance from the set-point at which it clears. */
  readonly deadband: (limit: number, context: LimitContext) => number;
  readonly on: OnDelay;
  readonly offSeconds: number;
  /** Judged only while the conveyor runs. */
  readonly needsRunning: boolean;
  /** Suppressed by design while that alarm is up. */
  readonly under: AlarmKey | null;
  /** Suppressed by design while a service is open on the take-up. */
  readonly restsInService: boolean;
  readonly seen: string;
  readonly consequence: string;
  readonly action: string;
  readonly respondWithinMin: number;
}

const LOCK_OUT = 'Lock out and tag out, and block the springs and chain, before opening anything.';

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
  needsRunning: false,
  under: null,
  restsInService: true,
} as const;

/** The alarm list of the design: one row an alarm, from which code, site file, documents and screens take it. */
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
    seen: 'Little travel is left before the outer stop.',
    consequence: 'The carriage will reach its outer stop and the chain will run slack.',
    action: 'Plan to take out chain; the Take-up page says by when.',
    respondWithinMin: 24 * 60,
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
    seen: 'The carriage is almost at its outer stop.',
    consequence: 'With no travel left the springs no longer hold the chain taut: it turns in its track and is pushed into the drive.',
    action: `Take out chain at the next stop. ${LOCK_OUT}`,
    respondWithinMin: 120,
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
    seen: 'The travel may be used up within the planning time.',
    consequence: 'A shortening that is not planned becomes a stop that is not planned.',
    action: 'Put a shortening into the plan for the next stop.',
    respondWithinMin: 7 * 24 * 60,
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
    seen: 'A spring is compressed to within its least coil clearance.',
    consequence: 'The coils are about to touch; then every pull goes straight into chain and drive.',
    action: `Find what pulled the carriage in: load, a caught chain, or nuts set too far. ${LOCK_OUT}`,
    respondWithinMin: 30,
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
    seen: 'A spring is wound solid: its coils touch.',
    consequence: 'The spring no longer limits the tension; chain, pins and drive take the whole pull.',
    action: `Stop by the site's own procedure and look for a caught or overloaded chain. ${LOCK_OUT}`,
    respondWithinMin: 5,
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
    seen: 'A spring is nearly free.',
    consequence: 'The chain runs slack, turns in its track and is pushed into the drive.',
    action: `Re-tension: turn the adjusting nuts at the next stop. ${LOCK_OUT}`,
    respondWithinMin: 8 * 60,
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
    seen: 'The strand tension is below the least that the chain needs.',
    consequence: 'The chain runs slack, turns in its track and is pushed into the drive.',
    action: `Re-tension at the next stop. ${LOCK_OUT}`,
    respondWithinMin: 8 * 60,
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
    seen: 'The strand tension is above the most that the chain should bear.',
    consequence: 'Chain, curves and drive wear for nothing.',
    action: `Slacken the adjusting nuts at the next stop, and see what draws the carriage in. ${LOCK_OUT}`,
    respondWithinMin: 8 * 60,
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
    seen: 'One side of the carriage is ahead of the other.',
    consequence: 'The carriage binds in its guides and the chain runs off its line.',
    action: `Compare the nuts, rods and guides of the two sides. ${LOCK_OUT}`,
    respondWithinMin: 24 * 60,
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
    on: { by: 'running', seconds: 24 * 3600 },
    needsRunning: true,
    seen: 'The carriage hardly moves though the conveyor runs.',
    consequence: 'A carriage that cannot move takes up no chain and gives no way to a pull.',
    action: `See whether the guides are seized or the restraint nuts were left run in. ${LOCK_OUT}`,
    respondWithinMin: 24 * 60,
  },
  {
    ...USUAL,
    key: 'carriage-jump',
    priority: 'high',
    measure: 'told',
    field: 'move_mm',
    limit: () => 8,
    seen: 'The carriage moved suddenly while the conveyor was running, and stayed there.',
    consequence: 'Inwards: the chain may be caught or overloaded. Outwards: it may be slack, broken or parted.',
    action: `Look at the take-up and along the chain. ${LOCK_OUT}`,
    respondWithinMin: 10,
  },
  {
    ...USUAL,
    key: 'change-unrecorded',
    priority: 'low',
    measure: 'told',
    field: 'move_mm',
    limit: () => 4,
    seen: 'The carriage stands elsewhere since a stop, and nobody wrote down why.',
    consequence: 'Elongation and dates are provisional until the change is explained.',
    action: 'Confirm or reject what the finding suggests, or record what was done.',
    respondWithinMin: 24 * 60,
  },
  {
    ...USUAL,
    key: 'wear-fast',
    priority: 'low',
    measure: 'told',
    unit: 'ratio',
    field: 'times',
    limit: () => 1.5,
    seen: 'The chain has been wearing faster over the last weeks than before.',
    consequence: 'Travel and chain are used up sooner than planned.',
    action: 'Look at lubrication, load, and dirt or heat at the chain.',
    respondWithinMin: 7 * 24 * 60,
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
    seen: 'The chain is close to its wear limit.',
    consequence: 'A chain past its limit rides up on the sprocket teeth and may part.',
    action: 'Plan to replace the chain rather than to shorten it again.',
    respondWithinMin: 7 * 24 * 60,
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
    seen: 'The chain has reached its wear limit.',
    consequence: 'A chain past its limit rides up on the sprocket teeth and may part.',
    action: 'Replace the chain; do not shorten it again.',
    respondWithinMin: 24 * 60,
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
    seen: 'The springs may be nearly free within the planning time.',
    consequence: 'A chain whose springs relax unnoticed runs slack.',
    action: 'Put a re-tensioning into the plan for the next stop.',
    respondWithinMin: 3 * 24 * 60,
  },
  {
    ...USUAL,
    key: 'signal-lost',
    priority: 'medium',
    measure: 'told',
    unit: 's',
    restsInService: false,
    seen: 'No reading comes from this sensor.',
    consequence: 'What it feeds is unknown; a limit crossed now would not be seen.',
    action: 'Look at the sensor, its cable, its supply and the network.',
    respondWithinMin: 60,
  },
  {
    ...USUAL,
    key: 'signal-fault',
    priority: 'medium',
    measure: 'told',
    restsInService: false,
    seen: 'The sensor gives readings that cannot be right.',
    consequence: 'What it feeds is unknown; a limit crossed now would not be seen.',
    action: 'Look at the sensor, its cable and its calibration.',
    respondWithinMin: 60,
  },
  {
    ...USUAL,
    key: 'signal-doubtful',
    priority: 'low',
    measure: 'told',
    restsInService: false,
    seen: 'The sensor reads flat, or far noisier than it used to.',
    consequence: 'Figures and alarms may rest on a reading that is not so.',
    action: 'Compare the sensor with a rule at the carriage.',
    respondWithinMin: 24 * 60,
  },
  {
    ...USUAL,
    key: 'agent-silent',
    priority: 'high',
    measure: 'told',
    unit: 's',
    restsInService: false,
    seen: 'The agent that watches the take-ups does not answer.',
    consequence: 'Nothing is watched until it runs again.',
    action: 'Look at the machine the agent runs on, and at the broker.',
    respondWithinMin: 15,
  },
]);

const BY_KEY = new Map(ALARM_DEFINITIONS.map((definition) => [definition.key, definition]));

/** The row of an alarm. */
export function definitionOf(key: AlarmKey): AlarmDefinition {
  const definition = BY_KEY.get(key);
  if (definition === undefined) throw new Error(`the alarm list has no row for ${key}`);
  return definition;
}

/** A signal that is no carriage position matters less: its alarms are low. */
export function signalAlarmPriority(key: AlarmKey, quantity: string): Priority {
  return quantity === 'position' ? definitionOf(key).priority : 'low';
}
