const ZERO = 0x30;
const MINUS = 0x2d;
const PLUS = 0x2b;
const DOT = 0x2e;
const LOWER_E = 0x65;
const LOWER_CASE = 0x20;

/** Whole numbers below this are exact in a double. */
const EXACT_BELOW = 2 ** 53;
/** More significant digits than this may round while they are gathered. */
const EXACT_DIGITS = 16;
/** 10 to the power of its index; powers up to 10²² are exact in a double. */
const TENS = Float64Array.from({ length: 23 }, (_, power) => Number(`1e${power}`));
const MOST_PLACES = TENS.length - 1;

/**
 * Reads a decimal in place: sign, digits, point and exponent as `Number` takes them, but neither hexadecimal, nor words,
 * nor blanks. The result is exactly that of `Number`: an exact whole number divided by an exact power of ten is
 * rounded once, correctly (Clinger 1990, "How to read floating point numbers accurately", the fast path); digits or
 * places beyond that go through `Number` itself.
 *
 * @returns the number, or NaN where `bytes[start, end)` is no finite decimal
 */
export function parseDecimalBytes(bytes: Buffer, start: number, end: number): number {
  let at = start;
  const sign = bytes[at] as number;
  const negative = sign === MINUS;
  if (negative || sign === PLUS) at++;

  let whole = 0;
  let significant = 0;
  let digits = 0;
  let places = 0;
  let afterPoint = false;
  for (; at < end; at++) {
    const byte = bytes[at] as number;
    const digit = byte - ZERO;
    if (digit >= 0 && digit <= 9) {
      whole = whole * 10 + digit;
      digits++;
      if (whole !== 0) significant++;
      if (afterPoint) places++;
    } else if (byte === DOT && !afterPoint) afterPoint = true;
    else break;
  }
  if (digits === 0) return NaN;
  if (at < end) return isExponent(bytes, at, end) ? throughNumber(bytes, start, end) : NaN;
  if (significant > EXACT_DIGITS || whole >= EXACT_BELOW || places > MOST_PLACES) return throughNumber(bytes, start, end);
  const value = places === 0 ? whole : whole / (TENS[places] as number);
  return negative ? -value : value;
}

/** `true` as 1 and `false` as 0 whatever their case, NaN where `bytes[start, end)` is neither. */
export function parseTruthBytes(bytes: Buffer, start: number, end: number): number {
  if (spells(bytes, start, end, 'true')) return 1;
  return spells(bytes, start, end, 'false') ? 0 : NaN;
}

function isExponent(bytes: Buffer, at: number, end: number): boolean {
  if (((bytes[at] as number) | LOWER_CASE) !== LOWER_E) return false;
  const sign = bytes[at + 1];
  const from = sign === MINUS || sign === PLUS ? at + 2 : at + 1;
  if (from >= end) return false;
  for (let i = from; i < end; i++) {
    const digit = (bytes[i] as number) - ZERO;
    if (digit < 0 || digit > 9) return false;
  }
  return true;
}

function throughNumber(bytes: Buffer, start: number, end: number): number {
  const value = Number(bytes.toString('latin1', start, end));
  return Number.isFinite(value) ? value : NaN;
}

function spells(bytes: Buffer, start: number, end: number, word: string): boolean {
  if (end - start !== word.length) return false;
  for (let i = 0; i < word.length; i++) {
    if (((bytes[start + i] as number) | LOWER_CASE) !== word.charCodeAt(i)) return false;
  }
  return true;
}
