import { deflateSync, inflateSync } from 'node:zlib';
import { ByteRun, ByteRunReader } from './byte-run.js';

/**
 * Readings of one signal in a few bits each. Sensors tick evenly, so the change of the step between their times is mostly nothing; and
 * they count in decimals, so a value is a whole number of hundredths or the like, close to the one before. What is left of that goes
 * through deflate (RFC 1951), whose checksum (RFC 1950) tells damage. Every number comes back to the last bit, but for the sign of a zero.
 */

/** Times and values of one signal, in order of time. */
export interface SignalReadings {
  readonly timeMs: Float64Array;
  /** NaN: the payload held no finite number. */
  readonly value: Float64Array;
}

const FORMAT = 1;
/** Digits after the point that are looked for: a billionth of a unit is beyond any sensor. */
const MOST_DIGITS = 9;
/** Says in the place of the digits that the values stand as they are. */
const AS_THEY_ARE = 255;
const POWERS = Array.from({ length: MOST_DIGITS + 1 }, (_, digits) => 10 ** digits);
/** Below this a decimal times its power of ten is told apart from its neighbours: two bits to spare of the 53. */
const LARGEST = 2 ** 51;
const BYTES_A_DOUBLE = 8;
/** About what a digit costs each value, and an exception costs, in bytes. */
const DIGIT_COST = 0.42;
const EXCEPTION_COST = 10;

/** @param readings - times in whole ms, not falling */
export function encodeReadings({ timeMs, value }: SignalReadings): Uint8Array {
  const run = new ByteRun();
  run.byte(FORMAT);
  run.count(timeMs.length);
  let [last, step] = [0, 0];
  for (const time of timeMs) {
    run.whole(time - last - step);
    step = time - last;
    last = time;
  }
  const digits = digitsOf(value);
  run.byte(digits);
  if (digits === AS_THEY_ARE) run.raw(byPlanes(value));
  else putDecimals(run, value, POWERS[digits] as number);
  return deflateSync(run.done());
}

/** @throws Error where the bytes are not what `encodeReadings` gave */
export function decodeReadings(bytes: Uint8Array): SignalReadings {
  const run = new ByteRunReader(inflateSync(bytes));
  const format = run.byte();
  if (format !== FORMAT) throw new RangeError(`readings of an unknown format ${format}`);
  const count = run.count();
  const timeMs = new Float64Array(count);
  let [last, step] = [0, 0];
  for (let i = 0; i < count; i++) {
    step += run.whole();
    last += step;
    timeMs[i] = last;
  }
  const digits = run.byte();
  return { timeMs, value: digits === AS_THEY_ARE ? fromPlanes(run.raw(count * BYTES_A_DOUBLE), count) : takeDecimals(run, count, digits) };
}

/** The fewest digits after the point with which most values are exact, the others counted as exceptions; or that it does not pay. */
function digitsOf(values: Float64Array): number {
  const needing = new Array<number>(MOST_DIGITS + 2).fill(0);
  let least = 0;
  for (const value of values) {
    // Neighbours mostly need as many digits as each other.
    let digits = 0;
    if (least > 0 && !isDecimal(value, POWERS[least - 1] as number) && isDecimal(value, POWERS[least] as number)) digits = least;
    else while (digits <= MOST_DIGITS && !isDecimal(value, POWERS[digits] as number)) digits++;
    needing[digits] = (needing[digits] as number) + 1;
    least = Math.min(digits, MOST_DIGITS);
  }
  let best = AS_THEY_ARE;
  let cost = values.length * BYTES_A_DOUBLE;
  let exceptions = values.length;
  for (let digits = 0; digits <= MOST_DIGITS; digits++) {
    exceptions -= needing[digits] as number;
    const here = exceptions * EXCEPTION_COST + values.length * (1 + digits * DIGIT_COST);
    if (here < cost) [best, cost] = [digits, here];
  }
  return best;
}

/** A decimal of so many digits: division is correctly rounded (IEEE 754), so the whole number gives the same double back. */
function isDecimal(value: number, power: number): boolean {
  const whole = Math.round(value * power);
  return Math.abs(whole) < LARGEST && whole / power === value;
}

function putDecimals(run: ByteRun, values: Float64Array, power: number): void {
  const exceptions = [...values.keys()].filter((i) => !isDecimal(values[i] as number, power));
  run.count(exceptions.length);
  let place = 0;
  for (const i of exceptions) {
    run.count(i - place);
    run.double(values[i] as number);
    place = i;
  }
  let last = 0;
  for (const value of values) {
    const whole = isDecimal(value, power) ? Math.round(value * power) + 0 : last;
    run.whole(whole - last);
    last = whole;
  }
}

function takeDecimals(run: ByteRunReader, count: number, digits: number): Float64Array {
  const power = POWERS[digits];
  if (power === undefined) throw new RangeError(`values of ${digits} digits`);
  const exceptions = new Map<number, number>();
  let place = 0;
  for (let left = run.count(); left > 0; left--) {
    place += run.count();
    exceptions.set(place, run.double());
  }
  const values = new Float64Array(count);
  let whole = 0;
  for (let i = 0; i < count; i++) {
    whole += run.whole();
    values[i] = exceptions.get(i) ?? whole / power;
  }
  return values;
}

/** First bytes of all values, then their second bytes …: like beside like, which deflate finds. */
function byPlanes(values: Float64Array): Uint8Array {
  const bytes = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  const planes = new Uint8Array(bytes.length);
  for (let i = 0; i < bytes.length; i++) {
    planes[(i % BYTES_A_DOUBLE) * values.length + Math.floor(i / BYTES_A_DOUBLE)] = bytes[i] as number;
  }
  return planes;
}

function fromPlanes(planes: Uint8Array, count: number): Float64Array {
  const values = new Float64Array(count);
  const bytes = new Uint8Array(values.buffer);
  for (let i = 0; i < bytes.length; i++) {
    bytes[i] = planes[(i % BYTES_A_DOUBLE) * count + Math.floor(i / BYTES_A_DOUBLE)] as number;
  }
  return values;
}
