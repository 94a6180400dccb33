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
  /** It clears past the end of its deadband, not at it. */
  readonly clearsPast: boolean;
  /** Judged only while the conveyor runs. */
  readonly needsRunning: boolean;
  /** When its condition has gone it stays until somebody has acknowledged it. */
  readonly latches: boolean;
  /** Suppressed by design while that alarm is up. */
  readonly under: AlarmKey | null;
  /** Suppressed by design while a service is open on the take-up. */
  readonly restsInService: boolean;
}
