import { HampelFilter, type HampelOptions } from '../../../agent/flow/position/hampel.js';

/** A reading as the filter judged it. */
export interface Judged {
  readonly timeMs: number;
  readonly value: number;
  readonly spike: boolean;
}

/** Runs readings at even intervals through a Hampel filter, to the last. */
export function judged(values: readonly number[], everyMs: number, options: HampelOptions): Judged[] {
  const filter = new HampelFilter(options);
  const found = values.flatMap((value, i) => taken(filter, filter.push(i * everyMs, value)));
  return [...found, ...taken(filter, filter.flush())];
}

/** What a filter has just judged. */
export function taken(filter: HampelFilter, count: number): Judged[] {
  return Array.from({ length: count }, (_, i) => ({
    timeMs: filter.judged.time[i]!,
    value: filter.judged.value[i]!,
    spike: filter.judged.spike[i] === 1,
  }));
}

/** The places in the row of readings that were judged spikes. */
export function spikesIn(values: readonly number[], everyMs: number, options: HampelOptions): number[] {
  return judged(values, everyMs, options).flatMap(({ spike }, i) => (spike ? [i] : []));
}
