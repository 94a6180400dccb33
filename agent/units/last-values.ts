/**
 * The last so many of a run of numbers, with their median at hand: what is usual, asked for with every window. They are kept in order
 * of size besides, so that a new one is put in its place rather than all of them sorted through again.
 */
export class LastValues {
  private readonly sorted: Float64Array;
  private readonly arrived: number[];

  /**
   * @param most - how many are kept, 1 or more; the oldest goes first
   * @param values - those there are already, oldest first
   */
  constructor(
    private readonly most: number,
    values: readonly number[] = [],
  ) {
    this.arrived = values.filter((value) => !Number.isNaN(value)).slice(-most);
    this.sorted = new Float64Array(most);
    this.sorted.set(Float64Array.from(this.arrived).sort());
  }

  get count(): number {
    return this.arrived.length;
  }

  /** Takes one more; what is not known (NaN) is none. */
  push(value: number): void {
    if (Number.isNaN(value)) return;
    if (this.arrived.length === this.most) this.dropOldest();
    const at = this.placeOf(value);
    this.sorted.copyWithin(at + 1, at, this.arrived.length);
    this.sorted[at] = value;
    this.arrived.push(value);
  }

  /** The median; NaN for none. */
  get median(): number {
    const at = (this.arrived.length - 1) / 2;
    if (at < 0) return NaN;
    const low = this.sorted[Math.floor(at)] as number;
    const high = this.sorted[Math.ceil(at)] as number;
    return low + (high - low) * 0.5;
  }

  clear(): void {
    this.arrived.length = 0;
  }

  /** Oldest first. */
  toArray(): readonly number[] {
    return [...this.arrived];
  }

  private dropOldest(): void {
    const at = this.placeOf(this.arrived[0] as number);
    this.sorted.copyWithin(at, at + 1, this.arrived.length);
    this.arrived.shift();
  }

  /** Place of the first that is not below a value. */
  private placeOf(value: number): number {
    let low = 0;
    let high = this.arrived.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.sorted[middle] as number) < value) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}
