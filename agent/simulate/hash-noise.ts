/**
 * Chance without a memory: every number is worked out from a stream and a count, so noise depends on nothing but the seed and the
 * reading it belongs to, however the stretch of time was cut.
 */

const TO_UNIT = 1 / 4_294_967_296;
/** Steps of the counter: 2³² over the golden ratio, so that neighbours are far apart. */
const STRIDE = 0x9e3779b9;
/** A second stream beside each, for numbers that need more than 32 bits. */
const BESIDE = 0x5bd1e995;
/** Sum of four 16-bit numbers: its mean and standard deviation (variance of an even number of width w: w²/12). */
const FOUR_MEAN = 2 * 65_535;
const FOUR_SPREAD = Math.sqrt((4 * (65_536 ** 2 - 1)) / 12);

/** A stream of its own for a name under a seed (FNV-1a over the name, then mixed). */
export function streamOf(seed: number, name: string): number {
  let sum = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) sum = Math.imul(sum ^ name.charCodeAt(i), 0x01000193);
  return hash32(sum, seed);
}

/** The count-th number of a stream: 32 bits, without sign. Counts beyond 2³² begin anew. */
export function hash32(stream: number, count: number): number {
  let x = (stream + Math.imul(count, STRIDE)) | 0;
  x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
  x = Math.imul(x ^ (x >>> 15), 0xd35a2d97);
  return (x ^ (x >>> 15)) >>> 0;
}

/** Even over 0 ≤ … < 1. */
export function even(stream: number, count: number): number {
  return hash32(stream, count) * TO_UNIT;
}

/** Nearly normal, mean 0, standard deviation 1, never beyond 3.5: the sum of four even numbers (Irwin–Hall). */
export function normal(stream: number, count: number): number {
  const a = hash32(stream, count);
  const b = hash32(stream ^ BESIDE, count);
  return ((a & 0xffff) + (a >>> 16) + (b & 0xffff) + (b >>> 16) - FOUR_MEAN) / FOUR_SPREAD;
}

/** Wanders smoothly through a normal number at every whole `x`. */
export function wander(stream: number, x: number): number {
  const before = Math.floor(x);
  const part = x - before;
  const weight = part * part * (3 - 2 * part);
  return normal(stream, before) * (1 - weight) + normal(stream, before + 1) * weight;
}
