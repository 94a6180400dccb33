import { quantile } from '../../units/quantile.js';

const MINUTE_MS = 60_000;
/** One sample a second, and room for clocks that slip. */
const CAPACITY = 128;

/** The samples of the last minute, oldest first. */
export class MinuteRing {
  private readonly times = new Float64Array(CAPACITY);
  private readonly values = new Float64Array(CAPACITY);
  private readonly scratch = new Float64Array(CAPACITY);
  private first = 0;
  private count = 0;
  /** No sample is below or above these; they are drawn in anew now and then. */
  private floor = Infinity;
  private ceiling = -Infinity;
  private sinceDrawn = 0;

  constructor(saved: readonly (readonly [number, number])[] = []) {
    for (const [timeMs, value] of saved) this.push(timeMs, value);
  }

  get size(): number {
    return this.count;
  }

  /** Whether a value may be so far from the median of the minute: a cheap look before the median is worked out. */
  mayBeOff(value: number, by: number): boolean {
    return value - this.floor >= by || this.ceiling - value >= by;
  }

  /** Forgets what is more than a minute before a time. */
  forgetBefore(timeMs: number): void {
    while (this.count > 0 && timeMs - (this.times[this.first] as number) > MINUTE_MS) this.dropFirst();
  }

  push(timeMs: number, value: number): void {
    if (this.count === CAPACITY) this.dropFirst();
    const at = (this.first + this.count) % CAPACITY;
    this.times[at] = timeMs;
    this.values[at] = value;
    this.count++;
    if (++this.sinceDrawn >= CAPACITY / 2) this.drawBounds();
    if (value < this.floor) this.floor = value;
    if (value > this.ceiling) this.ceiling = value;
  }

  median(): number {
    for (let i = 0; i < this.count; i++) this.scratch[i] = this.values[(this.first + i) % CAPACITY] as number;
    return quantile(this.scratch, this.count, 0.5);
  }

  save(): (readonly [number, number])[] {
    return Array.from({ length: this.count }, (_, i) => {
      const at = (this.first + i) % CAPACITY;
      return [this.times[at] as number, this.values[at] as number] as const;
    });
  }

  private drawBounds(): void {
    this.sinceDrawn = 0;
    this.floor = Infinity;
    this.ceiling = -Infinity;
    for (let i = 0; i < this.count; i++) {
      const value = this.values[(this.first + i) % CAPACITY] as number;
      if (value < this.floor) this.floor = value;
      if (value > this.ceiling) this.ceiling = value;
    }
  }

  private dropFirst(): void {
    this.first = (this.first + 1) % CAPACITY;
    this.count--;
  }
}
