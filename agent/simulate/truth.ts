import type { ServiceKind } from '../contract/service-entry.js';
import type { SideName } from '../site/site.js';
import type { PlantTrouble } from './trouble.js';
import type { WorkRecord } from './work.js';

/** What is really so on one take-up on one local day: the means over its running time. */
export interface TruthDay {
  /** `YYYY-MM-DD` in the site's time zone. */
  readonly date: string;
  readonly conveyor: string;
  readonly takeup: string;
  readonly positionMm: number;
  readonly skewMm: number;
  readonly elongationPct: number;
  /** At the end of the day. */
  readonly pitches: number;
  readonly thermalMm: number;
  readonly elasticMm: number;
  readonly springLeftMm: number;
  readonly springRightMm: number;
  readonly carriageForceN: number;
  readonly strandTensionN: number;
  readonly runHours: number;
}

/** Work that really changed something, whether it was recorded or not. */
export interface TruthStep {
  readonly timeMs: number;
  readonly conveyor: string;
  readonly takeup?: string;
  readonly side?: SideName;
  readonly kind: ServiceKind;
  readonly pitches?: number;
  readonly turns?: number;
  /** Move of each carriage, mm, positive outwards, by the take-up's id. */
  readonly moveMm: Readonly<Record<string, number>>;
  readonly recorded: WorkRecord['how'];
}

/** Something that really went wrong. */
export interface TruthFault {
  readonly conveyor: string;
  readonly kind: PlantTrouble['kind'];
  readonly fromMs: number;
  readonly toMs: number;
  readonly takeup?: string;
  readonly side?: SideName;
  readonly signal?: string;
  readonly zone?: string;
}

/** How a take-up really stands, and what follows if it goes on wearing as it does and nobody touches it. */
export interface TruthNow {
  readonly conveyor: string;
  readonly takeup: string;
  readonly timeMs: number;
  readonly running: boolean;
  readonly positionMm: number;
  readonly skewMm: number;
  /** 5–95 % range of the to-and-fro while running. */
  readonly breathingMm: number;
  readonly elongationPct: number;
  readonly pitches: number;
  readonly removedPitches: number;
  readonly strandTensionN: number;
  readonly springLeftMm: number;
  readonly springRightMm: number;
  /** Of a chain that has run in, with the shifts as planned. */
  readonly elongationPctPerDay: number;
  readonly travelMmPerDay: number;
  /** When the carriage of a day like the last comes within half its breathing of the outer stop; null where it never does, or is past. */
  readonly strokeOutMs: number | null;
  /** When the elongation reaches the chain's wear limit. */
  readonly wearLimitMs: number | null;
}

export interface PlantTruth {
  readonly days: readonly TruthDay[];
  readonly steps: readonly TruthStep[];
  readonly faults: readonly TruthFault[];
  readonly now: readonly TruthNow[];
}
