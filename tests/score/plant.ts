import type { AlarmKey } from '../../agent/flow/alarm-key.js';
import type { FindingKey } from '../../agent/flow/output.js';
import type { PlantScenario } from '../../agent/simulate/scenario.js';
import type { TruthDay } from '../../agent/simulate/truth.js';
import type { Site } from '../../agent/site/site.js';

/** What must be found of a trouble, and how soon. */
export interface Expected {
  readonly what: string;
  /** Any of these findings or alarms will do. */
  readonly by: readonly (FindingKey | AlarmKey)[];
  /** When there is enough of it to be told: the move is done, or the first true day on which the set-point is reached. */
  readonly from: number | ((day: TruthDay) => boolean);
  /** The on-delay, and whether it counts running time only. One settled window comes on top. */
  readonly onDelayMs: number;
  readonly running: boolean;
  /** A removal or an insertion: the count that must be told, positive for taken out. */
  readonly pitches?: number;
}

/** One simulated plant of the test set. */
export interface ScorePlant {
  readonly id: string;
  readonly about: string;
  readonly kind: 'healthy' | 'troubled';
  readonly days: number;
  readonly seed: number;
  /** What the pipeline is given. */
  readonly site: Site;
  /** What is really there, where the pipeline is not told of all of it. */
  readonly plantSite?: Site;
  readonly scenario: PlantScenario;
  readonly readingPeriodS?: number;
  /** Stretches read more often, as a jump needs. */
  readonly dense?: { readonly fromMs: number; readonly toMs: number; readonly periodS: number };
  /** A person confirms each entry that a finding suggests, a day after it was told. */
  readonly confirms?: boolean;
  readonly expects: readonly Expected[];
}
