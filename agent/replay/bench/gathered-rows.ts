import type { BenchReject } from '../../contract/bench.js';
import type { RejectReason } from '../../flow/output.js';
import { TakelineFault } from '../../process/fault.js';

/** So many are listed; all are counted. */
const MOST_REJECTS = 5000;

/** Rows that were not taken, as they are met. */
export interface GatheredRows {
  rows: number;
  readonly counts: Partial<Record<RejectReason, number>>;
  readonly listed: BenchReject[];
}

export function noRows(): GatheredRows {
  return { rows: 0, counts: {}, listed: [] };
}

/** What is said of a recording that has no reading of its site. */
export function noReadings({ rows, counts }: GatheredRows): TakelineFault {
  const why = Object.entries(counts).map(([reason, count]) => `${String(count)} ${reason}`);
  const words =
    why.length === 0
      ? 'There are no readings of this site in it.'
      : `None of its ${String(rows)} rows is a reading of this site (${why.join(', ')}); look at the names of its columns and signals, or give the site file that it belongs to.`;
  return new TakelineFault('bench-no-readings', words);
}

export function gather(rows: GatheredRows, reject: BenchReject): void {
  rows.counts[reject.reason] = (rows.counts[reject.reason] ?? 0) + 1;
  if (rows.listed.length < MOST_REJECTS) rows.listed.push(reject);
}
