/** Random numbers that are the same in every run. */
export interface Noise {
  /** Even, 0 to 1. */
  readonly even: () => number;
  /** Normal, mean 0, standard deviation 1. */
  readonly normal: () => number;
}

/** The generator mulberry32 with the Box–Muller transform. */
export function seededNoise(seed: number): Noise {
  // Neighbouring seeds would give streams that resemble each other.
  let state = Math.imul(seed + 1, 0x9e3779b1) >>> 0;
  const even = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - even())) * Math.cos(2 * Math.PI * even());
  return { even, normal };
}

/** Values of standard deviation 1 of which each carries `correlation` of the one before: AR(1). */
export function hangingTogether(count: number, correlation: number, noise: Noise): number[] {
  const values = [noise.normal()];
  while (values.length < count) {
    values.push(correlation * (values[values.length - 1] as number) + Math.sqrt(1 - correlation ** 2) * noise.normal());
  }
  return values;
}
