import { TRACE_NAMES, type BenchTraces, type TraceColumns, type TraceName } from '../../contract/bench.js';

const FIRST_STEP_MS = 1000;

/**
 * Traces of one take-up in a fixed number of columns, however long the recording turns out to be: each column keeps the least and the
 * most that fell into it, and where the room ends two columns become one.
 */
export class TraceBuckets {
  /** All traces one behind the other, `capacity` columns each. */
  private readonly min: Float64Array;
  private readonly max: Float64Array;
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
    this.min = new Float64Array(TRACE_NAMES.length * capacity).fill(Infinity);
    this.max = new Float64Array(TRACE_NAMES.length * capacity).fill(-Infinity);
    this.stepMs = span === undefined ? FIRST_STEP_MS : Math.max(1, Math.ceil((span.toMs - span.fromMs + 1) / capacity));
    if (span !== undefined) this.fromMs = span.fromMs;
  }

  add(trace: number, timeMs: number, value: number): void {
    const at = this.columnAt(timeMs);
    if (at >= 0) this.put(trace, at, value);
  }

  /** The column that a time falls into, made room for; −1 outside the span. Good until the next one is asked for. */
  columnAt(timeMs: number): number {
    if (this.span !== undefined && !(timeMs >= this.span.fromMs && timeMs <= this.span.toMs)) return -1;
    if (this.fromMs !== this.fromMs) this.fromMs = Math.floor(timeMs / FIRST_STEP_MS) * FIRST_STEP_MS;
    let at = Math.floor((timeMs - this.fromMs) / this.stepMs);
    // The first readings of another signal may be a little older.
    if (at < 0) at = 0;
    while (at >= this.capacity) {
      this.halve();
      at = Math.floor((timeMs - this.fromMs) / this.stepMs);
    }
    if (at >= this.count) this.count = at + 1;
    return at;
  }

  /** Puts a value into a column; NaN is none. */
  put(trace: number, column: number, value: number): void {
    const at = trace * this.capacity + column;
    if (value < (this.min[at] as number)) this.min[at] = value;
    if (value > (this.max[at] as number)) this.max[at] = value;
  }

  private halve(): void {
    for (let trace = 0; trace < TRACE_NAMES.length; trace++) {
      const [from, to] = [trace * this.capacity, (trace + 1) * this.capacity];
      fold(this.min.subarray(from, to), Math.min, Infinity);
      fold(this.max.subarray(from, to), Math.max, -Infinity);
    }
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
      const base = trace * this.capacity;
      const least = this.min.subarray(base + at, base + to).reduce((a, b) => Math.min(a, b), Infinity);
      const most = this.max.subarray(base + at, base + to).reduce((a, b) => Math.max(a, b), -Infinity);
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
