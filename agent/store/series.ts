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
  /** Readings behind each point; 0 in a gap. */
  readonly count: readonly number[];
}
