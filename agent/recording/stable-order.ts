/**
 * The order that sorts `keys[0, count)` upwards and leaves equal keys as they stand: a natural merge sort (Knuth, *The Art
 * of Computer Programming*, vol. 3, §5.2.4), which takes the runs that are already in order as they are. A recording is a
 * few long runs woven together, so a few merges do; the worst case is count·log₂ count.
 *
 * @param keys - no NaN
 * @returns indexes into `keys`
 */
export function stableOrder(keys: Float64Array, count: number): Uint32Array {
  let order = Uint32Array.from({ length: count }, (_, index) => index);
  let spare = new Uint32Array(count);
  let ends = runEnds(keys, count);
  while (ends.length > 1) {
    const merged: number[] = [];
    let from = 0;
    for (let run = 0; run < ends.length; run += 2) {
      const middle = ends[run] as number;
      const end = ends[run + 1] ?? middle;
      mergeRuns(keys, order, spare, from, middle, end);
      merged.push(end);
      from = end;
    }
    [order, spare] = [spare, order];
    ends = merged;
  }
  return order;
}

/** Where each stretch that does not fall ends. */
function runEnds(keys: Float64Array, count: number): number[] {
  const ends: number[] = [];
  for (let i = 1; i < count; i++) {
    if ((keys[i] as number) < (keys[i - 1] as number)) ends.push(i);
  }
  ends.push(count);
  return ends;
}

function mergeRuns(keys: Float64Array, from: Uint32Array, into: Uint32Array, start: number, middle: number, end: number): void {
  let left = start;
  let right = middle;
  for (let at = start; at < end; at++) {
    // On equal keys the left run goes first: that is what keeps the order stable.
    const takeLeft = left < middle && (right >= end || (keys[from[left] as number] as number) <= (keys[from[right] as number] as number));
    into[at] = from[takeLeft ? left++ : right++] as number;
  }
}
