/** The chain length of one day, as the ledger gives it. */
export interface WearDay {
  /** Calendar date in the site's time zone, `YYYY-MM-DD`. */
  readonly date: string;
  /** Days from 1970-01-01 to the middle of that date: a whole number and a half. */
  readonly dayNumber: number;
  /** Running hours since any beginning, at the day's end; undefined where the conveyor has no running signal. */
  readonly runningHours: number | undefined;
  /** ε as a ratio, 0.01 = 1 %. */
  readonly elongation: number;
  /** A `bound` (at a stop, springs solid or free) is no value; a `provisional` one has an unexplained step before it. */
  readonly flag: 'value' | 'provisional' | 'bound';
  /** Counts up at each unexplained step and at each new chain: values of different segments do not compare. */
  readonly segment: number;
  /** What the ledger took off for heat, as a ratio: thermal mm / (n·p). Left out where no temperature is measured. */
  readonly heat?: number;
}

/** A value with its interval. */
export interface Interval {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}
