import { TRACE_NAMES, type BenchTraces, type TraceColumns, type TraceName } from '../../contract/bench.js';

const FIRST_STEP_MS = 1000;

/**
 * Traces of one take-up in a fixed number of columns, however long the recording turns out to be: each column keeps the least and the
 * most that fell into it, and where the room ends two columns become one.
 */
export class TraceBuckets {
  private readonly min: readonly Float64Array[];
  private readonly max: readonly Float64Array[];
  private fromMs = NaN;
  private stepMs: number;
  /** Columns that were reached. */
  private count = 0;

  /**
   * @param capacity - columns, an even number
   * @param span - where it is known from when to when: columns are then as wide as it needs, and what is outside is left out
   */
  constructor(
    private readonly capacity: number,
    private readonly span?: { readonly fromMs: number; readonly toMs: number },
  ) {
    this.min = TRACE_NAMES.map(() => new Float64Array(capacity).fill(Infinity));
    this.max = TRACE_NAMES.map(() => new Float64Array(capacity).fill(-Infinity));
    this.stepMs = span === undefined ? FIRST_STEP_MS : Math.max(1, Math.ceil((span.toMs - span.fromMs + 1) / capacity));
    if (span !== undefined) this.fromMs = span.fromMs;
  }

  add(trace: number, timeMs: number, value: number): void {
    if (value !== value) return;
    if (this.span !== undefined && !(timeMs >= this.span.fromMs && timeMs <= this.span.toMs)) return;
    if (this.fromMs !== this.fromMs) this.fromMs = Math.floor(timeMs / FIRST_STEP_MS) * FIRST_STEP_MS;
    let at = Math.floor((timeMs - this.fromMs) / this.stepMs);
    // The first readings of another signal may be a little older.
    if (at < 0) at = 0;
    while (at >= this.capacity) {
      this.halve();
      at = Math.floor((timeMs - this.fromMs) / this.stepMs);
    }
    if (at >= this.count) this.count = at + 1;
    const [min, max] = [this.min[trace] as Float64Array, this.max[trace] as Float64Array];
    if (value < (min[at] as number)) min[at] = value;
    if (value > (max[at] as number)) max[at] = value;
  }

  private halve(): void {
    for (const column of this.min) fold(column, Math.min, Infinity);
    for (const column of this.max) fold(column, Math.max, -Infinity);
    this.stepMs *= 2;
    this.count = Math.ceil(this.count / 2);
  }

  /** The columns of a span, drawn together until there are no more than so many. */
  view(fromMs: number, toMs: number, points: number, fine: boolean): BenchTraces {
    const first = clamp(Math.floor((fromMs - this.fromMs) / this.stepMs), 0, this.count);
    const end = clamp(Math.floor((toMs - this.fromMs) / this.stepMs) + 1, first, this.count);
    const together = Math.max(1, Math.ceil((end - first) / points));
    const traces = Object.fromEntries(TRACE_NAMES.map((name, trace) => [name, this.columns(trace, first, end, together)])) as Record<
      TraceName,
      TraceColumns
    >;
    return { fromMs: this.fromMs + first * this.stepMs, stepMs: this.stepMs * together, fine, traces };
  }

  private columns(trace: number, first: number, end: number, together: number): TraceColumns {
    const min: (number | null)[] = [];
    const max: (number | null)[] = [];
    for (let at = first; at < end; at += together) {
      const to = Math.min(end, at + together);
      const least = (this.min[trace] as Float64Array).subarray(at, to).reduce((a, b) => Math.min(a, b), Infinity);
      const most = (this.max[trace] as Float64Array).subarray(at, to).reduce((a, b) => Math.max(a, b), -Infinity);
      min.push(least === Infinity ? null : rounded(least));
      max.push(most === -Infinity ? null : rounded(most));
    }
    return { min, max };
  }
}

function fold(column: Float64Array, of: (a: number, b: number) => number, none: number): void {
  const half = column.length >> 1;
  for (let i = 0; i < half; i++) column[i] = of(column[2 * i] as number, column[2 * i + 1] as number);
  column.fill(none, half);
}

/** Finer than any sensor or screen. */
function rounded(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}

function clamp(value: number, least: number, most: number): number {
  return Number.isNaN(value) ? least : Math.min(Math.max(value, least), most);
}
