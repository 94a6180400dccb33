import type { Caution } from '../../../agent/plan/cautions.js';
import type { LoadCase } from '../../../agent/plan/loop-path.js';
import type { Reverse } from '../../../agent/plan/loop-reverse.js';
import type { NutPlan } from '../../../agent/plan/nut-plan.js';
import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import type { RemovalPlan } from '../../../agent/plan/removal-plan.js';
import type { Assumption, GivenFigures } from '../../../agent/plan/takeup-state.js';
import type { TakeupPlace } from '../../../agent/plan/takeup-place.js';
import type { UnitSystem } from '../../../agent/units/display.js';

/** What the plan API answers with. Figures are in mm, N and per cent, whatever units the sentences are written in. */

/** What a plan begins with, and how old it is. */
export interface BasisAnswer {
  /** `given`: every figure that it needs was given in the query. */
  readonly source: 'live' | 'settled-day' | 'given' | 'none';
  /** When the position settled, or the date of the settled day; null where there is neither. */
  readonly asOf: string | null;
  /** How long ago that was, ms; null where there is nothing. */
  readonly ageMs: number | null;
  /** Which of them it is and how old, as a person is told it. */
  readonly sentence: string;
  readonly figures: GivenFigures;
  /** The figures that the query gave, which go before all others. */
  readonly given: readonly (keyof GivenFigures)[];
  /** What was taken for granted because nothing said otherwise. */
  readonly assumed: readonly { readonly assumption: Assumption; readonly sentence: string }[];
  /** What makes the figures doubtful: work since they settled, a service that is open, a step that nothing explains. */
  readonly warnings: readonly string[];
}

/** One removal, with its words. */
export interface ChoiceAnswer {
  readonly choice: RemovalChoice;
  readonly canBeMade: boolean;
  readonly recommended: boolean;
  /** Why it cannot be made: a sentence for each limit. */
  readonly stops: readonly string[];
  /** `4 pitches`. */
  readonly pitches: string;
  readonly carriers: string;
  readonly parting: string;
  readonly wear: string;
  /** `tighten 2¼ turns`; how to set the spring by rule where the lead of the thread is not known. */
  readonly nuts: { readonly left: string; readonly right: string };
  readonly nutProblems: readonly string[];
}

export interface RemovalAnswer {
  readonly plan: Omit<RemovalPlan, 'choices'>;
  /** Every removal that can be made and the next longer one, shortest first. */
  readonly choices: readonly ChoiceAnswer[];
  /** Pitches of those to set side by side where there are more than fit. */
  readonly worthShowing: readonly number[];
  /** The one asked for by `repeats`, also where it cannot be made; null where none was. */
  readonly asked: ChoiceAnswer | null;
  /** The recommended one with its reason, or why there is none, what would help, and what holds for other take-ups. */
  readonly sentences: readonly string[];
}

export interface NutAnswer {
  readonly plan: NutPlan;
  /** `tighten 2¼ turns`, `leave as it is`, or the spring length to set. */
  readonly words: { readonly left: string; readonly right: string };
  readonly problems: readonly string[];
  /** What the setting leaves: tension, margin to solid. */
  readonly sentence: string;
}

/** `GET /api/takeups/:conveyor/:takeup/plan`. */
export interface PlanAnswer {
  readonly conveyor: string;
  readonly takeup: string;
  /** The units that the sentences are in. */
  readonly units: UnitSystem;
  readonly basis: BasisAnswer;
  /** Why nothing can be planned, each with what to do; empty where it can. */
  readonly refused: readonly string[];
  readonly removal: RemovalAnswer | null;
  /** The nuts alone, the chain left as it is: to the target tension, and to equal force on both sides at the tension there is. */
  readonly nuts: { readonly toTension: NutAnswer; readonly toBalance: NutAnswer } | null;
  readonly cautions: readonly Caution[];
}

/** A point of the tension profile. Between two points the tension runs evenly. */
export interface LoopPoint {
  /** Developed length from the take-up in the usual direction of travel, also where it runs backwards: one axis for both. */
  readonly atMm: number;
  readonly tensionN: number;
  readonly place: 'leaving-take-up' | 'along' | 'drive-tight' | 'drive-slack' | 'entering-take-up';
}

/** The loop under one load. */
export interface LoopCaseAnswer {
  readonly load: LoadCase;
  /** `every carrier loaded`. */
  readonly title: string;
  /** In the order of `atMm`. */
  readonly points: readonly LoopPoint[];
  readonly lowest: LoopPoint;
  readonly highest: LoopPoint;
  readonly tightN: number;
  readonly slackN: number;
  readonly drivePullN: number;
  /** Carriage force for which the lowest tension reaches the least asked. */
  readonly forceNeededN: number;
  readonly forceToSpareN: number;
  /** Where the lowest tension is, and whether it is enough. */
  readonly sentence: string;
}

/** One stretch of the path, for the ground under the chart. */
export interface LoopStretch {
  readonly kind: 'straight' | 'curve' | 'drive';
  readonly fromMm: number;
  readonly toMm: number;
  readonly riseMm: number;
  readonly loadNPerM: number;
  /** `straight, 52.00 m, climbs 1.80 m`. */
  readonly words: string;
}

export interface LoopWayAnswer {
  readonly cases: readonly LoopCaseAnswer[];
  /** The load under which the lowest tension is lowest, the highest highest, and the drive pulls hardest. */
  readonly slackest: LoadCase;
  readonly tightest: LoadCase;
  readonly hardest: LoadCase;
  /** The findings in words, the worst first. */
  readonly sentences: readonly string[];
}

/** `GET /api/conveyors/:conveyor/loop`. */
export interface LoopAnswer {
  readonly conveyor: string;
  /** The take-up that the path begins at; null where there is none to walk from. */
  readonly takeup: string | null;
  readonly units: UnitSystem;
  readonly basis: BasisAnswer;
  /** Why the loop cannot be walked, each with what to do; empty where it can. */
  readonly refused: readonly string[];
  readonly loop: {
    readonly lengthMm: number;
    readonly stretches: readonly LoopStretch[];
    readonly leastTensionN: number;
    readonly mostTensionN: number | null;
    readonly emptyNPerM: number;
    /** What the springs give now. */
    readonly carriageForceN: number;
    readonly forwards: LoopWayAnswer;
    /** Whether the take-up stands where it should, judged under the load with the lowest tension. */
    readonly standsWhere: TakeupPlace['place'];
    readonly standsSentence: string;
    /** The other way round; what it does to the take-up. For a conveyor that runs one way: what it would do. */
    readonly backwards: LoopWayAnswer & { readonly reverse: Reverse; readonly runsSo: boolean };
  } | null;
}
