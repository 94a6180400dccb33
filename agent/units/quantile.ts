/**
 * Medians and quantiles by selection: the first `count` numbers of a column are rearranged, not sorted through, since a window of ten
 * minutes is asked for a dozen of them. Quantiles interpolate linearly between order statistics (definition 7 of Hyndman & Fan 1996,
 * the default of R and NumPy).
 */

/** Copies the known numbers of `from[start…end)` to the front of `to` and says how many there were. */
export function copyKnown(from: Float64Array, start: number, end: number, to: Float64Array): number {
  let count = 0;
  for (let i = start; i < end; i++) {
    const value = from[i] as number;
    if (value === value) to[count++] = value;
  }
  return count;
}

/** Rearranges the column so that its k-th smallest number stands at k, none larger before it, none smaller after (Hoare 1961). */
function select(column: Float64Array, count: number, k: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = column[(low + high) >> 1] as number;
    let i = low;
    let j = high;
    while (i <= j) {
      while ((column[i] as number) < pivot) i++;
      while ((column[j] as number) > pivot) j--;
      if (i <= j) {
        const held = column[i] as number;
        column[i++] = column[j] as number;
        column[j--] = held;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return column[k] as number;
}

/** Least number of `column[start…end)`, NaN ones left out; NaN for none. */
export function leastOf(column: Float64Array, start: number, end: number): number {
  let least = Infinity;
  for (let i = start; i < end; i++) if ((column[i] as number) < least) least = column[i] as number;
  return least === Infinity ? NaN : least;
}

/** Greatest number of `column[start…end)`, NaN ones left out; NaN for none. */
export function mostOf(column: Float64Array, start: number, end: number): number {
  let most = -Infinity;
  for (let i = start; i < end; i++) if ((column[i] as number) > most) most = column[i] as number;
  return most === -Infinity ? NaN : most;
}

/**
 * The p-quantile of the first `count` numbers of a column, which is rearranged. None may be NaN.
 * @param p - 0…1
 * @returns NaN for no numbers
 */
export function quantile(column: Float64Array, count: number, p: number): number {
  if (count === 0) return NaN;
  const at = (count - 1) * p;
  const below = Math.floor(at);
  const low = select(column, count, below);
  if (below === at) return low;
  let next = Infinity;
  for (let i = below + 1; i < count; i++) if ((column[i] as number) < next) next = column[i] as number;
  return low + (next - low) * (at - below);
}

/** The median of some numbers, NaN ones left out; NaN for none. The argument is left as it was. */
export function medianOf(values: ArrayLike<number>): number {
  const column = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    if (value === value) column[count++] = value;
  }
  return quantile(column, count, 0.5);
}

/** 1.4826 · median absolute deviation: the spread of normal noise, robust against outliers (Hampel 1974). NaN for none. */
export function robustSpread(values: ArrayLike<number>): number {
  const centre = medianOf(values);
  return 1.4826 * medianOf(Float64Array.from(values, (value) => Math.abs(value - centre)));
}
