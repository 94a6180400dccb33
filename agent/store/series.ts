import type { SpringSettingOutput } from '../flow/output.js';

/** A stretch of a take-up's position as a picture of some pixels shows it. */
export interface SeriesQuery {
  readonly conveyor: string;
  readonly takeup: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** How wide the picture is: at most so many points come back, gaps aside. At least 2. */
  readonly px: number;
  /** IANA name of the zone whose days the settled values belong to; default UTC. */
  readonly timezone?: string;
}

/** What the points of a series were drawn together from. */
export type SeriesSource = 'readings' | 'minutes' | 'hours' | 'days';

/**
 * A series in columns of equal length, in order of time. Every point keeps the true extremes of its stretch, so that a surge of two
 * seconds shows in a view of a year. A row whose figures are all null is a gap: no line leads across it. Null is also a single figure
 * that is not known.
 */
export interface PositionSeries {
  readonly source: SeriesSource;
  /** Width of a point: a pixel, or what the source is rolled up to where that is wider. */
  readonly widthMs: number;
  /** Start of each point's stretch. */
  readonly timeMs: readonly number[];
  readonly minMm: readonly (number | null)[];
  readonly maxMm: readonly (number | null)[];
  readonly meanMm: readonly (number | null)[];
  /** The settled value of the day in which the point lies, or the mean over its days. */
  readonly settledMm: readonly (number | null)[];
  readonly springMinMm: readonly (number | null)[];
  readonly tensionN: readonly (number | null)[];
  /** Extremes by the unsmoothed springs; null in what was written before they were kept. */
  readonly tensionMinN: readonly (number | null)[];
  readonly tensionMaxN: readonly (number | null)[];
  /** Readings behind each point; 0 in a gap. */
  readonly count: readonly number[];
}

/** What a conveyor did meanwhile, in points as wide as those of a position series. */
export interface ConveyorCourseQuery {
  readonly conveyor: string;
  /** Names of the signals of its temperatures. */
  readonly temperatures: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
  /** A whole number of minutes, hours or days for the temperatures of the store; any width for its running. */
  readonly widthMs: number;
  /** Its readings were heard up to here, where somebody knows; else as far as its minutes go. */
  readonly heardToMs?: number;
}

/** A temperature in columns; a row whose figures are all null is a gap. */
export interface TemperatureSeries {
  readonly signal: string;
  readonly timeMs: readonly number[];
  readonly count: readonly number[];
  readonly minC: readonly (number | null)[];
  readonly maxC: readonly (number | null)[];
  readonly meanC: readonly (number | null)[];
  /** How warm the chain was, where it follows late; else null. */
  readonly chainC: readonly (number | null)[];
}

/** Of each point between two times, one behind the other, which share of it a conveyor ran and stood, 0…1; the rest is not known. */
export interface RunningShares {
  readonly fromMs: number;
  readonly widthMs: number;
  readonly ran: readonly number[];
  readonly stood: readonly number[];
}

export interface ConveyorCourse {
  readonly temperatures: readonly TemperatureSeries[];
  readonly running: RunningShares;
}

/** How a side's spring was followed and weighed from a time on. */
export type SpringSettingRow = Pick<SpringSettingOutput, 'side' | 'timeMs' | 'setting'>;
