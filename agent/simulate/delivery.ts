/** A reading on its way: when it was taken and when it comes in. */
export interface OnTheWay {
  readonly deliveredMs: number;
  readonly timeMs: number;
  /** The signal's place in the site. */
  readonly signal: number;
  /** NaN where the payload is no number. */
  readonly raw: number;
}

const FIRST_CAPACITY = 4096;

/**
 * Readings on their way from the sensors, which come in by the time of their delivery, whatever the order in which they were made; at
 * the same time by signal, and of one signal in the order in which they were taken.
 */
export class Delivery {
  private delivered = new Float64Array(FIRST_CAPACITY);
  private times = new Float64Array(FIRST_CAPACITY);
  private raws = new Float64Array(FIRST_CAPACITY);
  private signals = new Int32Array(FIRST_CAPACITY);
  private count = 0;

  constructor(waiting: readonly OnTheWay[] = []) {
    for (const { deliveredMs, timeMs, signal, raw } of waiting) this.add(deliveredMs, timeMs, signal, raw);
  }

  add(deliveredMs: number, timeMs: number, signal: number, raw: number): void {
    if (this.count === this.times.length) this.grow();
    this.delivered[this.count] = deliveredMs;
    this.times[this.count] = timeMs;
    this.signals[this.count] = signal;
    this.raws[this.count] = raw;
    this.count++;
  }

  /** Hands out everything that comes in up to and at a time, in order. */
  deliver(toMs: number, take: (deliveredMs: number, timeMs: number, signal: number, raw: number) => void): void {
    const { delivered, times, raws, signals } = this;
    const due: number[] = [];
    const waiting: number[] = [];
    for (let i = 0; i < this.count; i++) ((delivered[i] as number) <= toMs ? due : waiting).push(i);
    due.sort((a, b) => (delivered[a] as number) - (delivered[b] as number) || (signals[a] as number) - (signals[b] as number) || a - b);
    for (const i of due) take(delivered[i] as number, times[i] as number, signals[i] as number, raws[i] as number);
    // Those that wait move up; each to a place before its own, so none is written over unread.
    waiting.forEach((from, to) => {
      delivered[to] = delivered[from] as number;
      times[to] = times[from] as number;
      raws[to] = raws[from] as number;
      signals[to] = signals[from] as number;
    });
    this.count = waiting.length;
  }

  /** What has not come in yet. */
  waiting(): OnTheWay[] {
    return Array.from({ length: this.count }, (_, i) => ({
      deliveredMs: this.delivered[i] as number,
      timeMs: this.times[i] as number,
      signal: this.signals[i] as number,
      raw: this.raws[i] as number,
    }));
  }

  private grow(): void {
    const larger = (column: Float64Array): Float64Array<ArrayBuffer> => {
      const grown = new Float64Array(2 * column.length);
      grown.set(column);
      return grown;
    };
    const signals = new Int32Array(2 * this.signals.length);
    signals.set(this.signals);
    this.delivered = larger(this.delivered);
    this.times = larger(this.times);
    this.raws = larger(this.raws);
    this.signals = signals;
  }
}
