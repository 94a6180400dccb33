/** Puts a value into its place among the first `count` sorted ones. */
export function insert(sorted: Float64Array, count: number, value: number): void {
  let i = count;
  while (i > 0 && (sorted[i - 1] as number) > value) {
    sorted[i] = sorted[i - 1] as number;
    i--;
  }
  sorted[i] = value;
}

/** Puts a value in the place of another among the first `count` sorted ones, and in order. */
export function replace(sorted: Float64Array, count: number, old: number, value: number): void {
  const last = count - 1;
  let i = 0;
  while (i < last && (sorted[i] as number) !== old) i++;
  for (; i < last && (sorted[i + 1] as number) < value; i++) sorted[i] = sorted[i + 1] as number;
  for (; i > 0 && (sorted[i - 1] as number) > value; i--) sorted[i] = sorted[i - 1] as number;
  sorted[i] = value;
}

/**
 * The median of seven numbers of a column, from `first` on, into `median`, by a network of thirteen comparisons (Devillard, "Fast median search", 1998; after Paeth, Graphics Gems):
 * nearly every reading of every sensor goes through it, and it needs no array to sort in.
 */
export function medianOf7(v: Float64Array, first: number, median: Float64Array): void {
  const p0 = v[first] as number;
  const p1 = v[first + 1] as number;
  const p2 = v[first + 2] as number;
  const p3 = v[first + 3] as number;
  const p4 = v[first + 4] as number;
  const p5 = v[first + 5] as number;
  const p6 = v[first + 6] as number;
  const a0 = Math.min(p0, p5);
  const b0 = Math.max(p0, p5);
  const a1 = Math.min(a0, p3);
  const b1 = Math.max(a0, p3);
  const a2 = Math.min(p1, p6);
  const b2 = Math.max(p1, p6);
  const a3 = Math.min(p2, p4);
  const b3 = Math.max(p2, p4);
  const b4 = Math.max(a1, a2);
  const a5 = Math.min(b1, b0);
  const b5 = Math.max(b1, b0);
  const a6 = Math.min(a3, b2);
  const b6 = Math.max(a3, b2);
  const b7 = Math.max(a6, a5);
  const a8 = Math.min(b7, b6);
  const a9 = Math.min(b3, b5);
  const a10 = Math.min(b4, a9);
  const b10 = Math.max(b4, a9);
  const b11 = Math.max(a10, a8);
  const a12 = Math.min(b11, b10);
  median[0] = a12;
}

export function middle(sorted: Float64Array, count: number): number {
  const half = count >> 1;
  return count % 2 === 1 ? (sorted[half] as number) : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
}
