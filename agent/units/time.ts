/**
 * Times as they stand in recordings, entries and messages: ISO 8601 with an offset, or epoch milliseconds.
 * Inside the program a time is a number of milliseconds since 1970-01-01T00:00:00Z.
 */

/** 0000-01-01T00:00:00Z: the earliest time that four year digits can say. */
const EARLIEST_MS = -62_167_219_200_000;
/** 9999-12-31T23:59:59.999Z: the latest; microseconds taken for milliseconds lie beyond it and are refused. */
const LATEST_MS = 253_402_300_799_999;

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
const DAYS_IN_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/** 1970-01-01 counted from 1 March of the year −400. */
const EPOCH_DAY = 719_468 + 146_097;
/** Negative whatever is added to it, and a whole number: the checks on a hot path stay on whole numbers. */
const NOT_DIGITS = -10_000;

const ZERO = 0x30;
const MINUS = 0x2d;
const PLUS = 0x2b;
const DOT = 0x2e;
const COMMA = 0x2c;
const COLON = 0x3a;
const SPACE = 0x20;
const UPPER_T = 0x54;
const UPPER_Z = 0x5a;
/** Sets the bit that tells an ASCII letter's lower case from its upper. */
const LOWER_CASE = 0x20;

/** `YYYY-MM-DDTHH:MMZ`, the shortest time with an offset. */
const SHORTEST_ISO = 17;
/** Longer than any time that a program writes; more is not looked at. */
const LONGEST_TEXT = 64;

/**
 * Reads a time.
 *
 * @param text - ISO 8601 calendar date and time with `Z`, `±hh:mm`, `±hhmm` or `±hh`, seconds and their fraction optional
 *   (RFC 3339 §5.6 also lets a space stand for the `T`); or epoch milliseconds as a plain decimal
 * @returns epoch ms rounded to the nearest whole one, years 0000 to 9999; `undefined` where the text is neither, has no
 *   offset, or names a moment that does not exist (30 February, 24:00, second 60)
 */
export function parseTime(text: string): number | undefined {
  if (text.length > LONGEST_TEXT) return undefined;
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code > 0x7f) return undefined;
    bytes[i] = code;
  }
  const ms = parseTimeBytes(bytes, 0, bytes.length);
  return Number.isNaN(ms) ? undefined : ms;
}

/**
 * `parseTime` on ASCII bytes in place, for the readers that see millions of them: no text, no object is made.
 *
 * @returns epoch ms, or NaN where `bytes[start, end)` is no time
 */
export function parseTimeBytes(bytes: Uint8Array, start: number, end: number): number {
  const length = end - start;
  const ms = length >= SHORTEST_ISO && bytes[start + 4] === MINUS ? isoMs(bytes, start, end) : epochMs(bytes, start, end);
  return ms >= EARLIEST_MS && ms <= LATEST_MS ? ms : NaN;
}

/** Epoch milliseconds that came as a number, rounded to the nearest whole one; NaN outside of the years 0000 to 9999. */
export function wholeTime(ms: number): number {
  const whole = Math.round(ms);
  return whole >= EARLIEST_MS && whole <= LATEST_MS ? whole : NaN;
}

/**
 * Writes a time as ISO 8601 UTC, with milliseconds only where there are any: `2026-01-05T06:00:00Z`.
 *
 * @param ms - epoch ms, years 0000 to 9999; a fraction is rounded
 * @throws RangeError where `ms` is no such time
 */
export function formatTime(ms: number): string {
  const whole = wholeTime(ms);
  if (Number.isNaN(whole)) throw new RangeError(`${ms} is no time between the years 0000 and 9999`);
  const text = new Date(whole).toISOString();
  return whole % 1000 === 0 ? `${text.slice(0, 19)}Z` : text;
}

function isoMs(bytes: Uint8Array, start: number, end: number): number {
  const year = digitPair(bytes, start) * 100 + digitPair(bytes, start + 2);
  const month = digitPair(bytes, start + 5);
  const day = digitPair(bytes, start + 8);
  const hour = digitPair(bytes, start + 11);
  const minute = digitPair(bytes, start + 14);
  const separator = bytes[start + 10] as number;
  if (bytes[start + 7] !== MINUS || bytes[start + 13] !== COLON) return NaN;
  if ((separator & ~LOWER_CASE) !== UPPER_T && separator !== SPACE) return NaN;
  if (year < 0 || month < 1 || month > 12 || day < 1 || hour < 0 || hour > 23 || minute < 0 || minute > 59) return NaN;
  if (day > 28 && day > daysInMonth(year, month)) return NaN;

  let at = start + 16;
  let second = 0;
  let fractionMs = 0;
  if (bytes[at] === COLON) {
    second = digitPair(bytes, at + 1);
    at += 3;
    if (at >= end || second < 0 || second > 59) return NaN;
    const mark = bytes[at];
    if (mark === DOT || mark === COMMA) {
      const from = ++at;
      let unitMs = 100;
      for (; at < end; at++) {
        const digit = (bytes[at] as number) - ZERO;
        if (digit < 0 || digit > 9) break;
        const place = at - from;
        if (place < 3) {
          fractionMs += digit * unitMs;
          unitMs /= 10;
        } else if (place === 3 && digit >= 5) fractionMs++;
      }
      if (at === from) return NaN;
    }
  }
  const localMs = dayNumber(year, month, day) * DAY_MS + hour * 3_600_000 + minute * MINUTE_MS + second * 1000 + fractionMs;
  return localMs - offsetMs(bytes, at, end);
}

/** What `bytes[at, end)` says the local time is ahead of UTC by; NaN where it is not an offset and nothing else. */
function offsetMs(bytes: Uint8Array, at: number, end: number): number {
  const length = end - at;
  const sign = bytes[at] as number;
  if (length === 1) return (sign & ~LOWER_CASE) === UPPER_Z ? 0 : NaN;
  if (sign !== PLUS && sign !== MINUS) return NaN;
  if (length !== 3 && length !== 5 && !(length === 6 && bytes[at + 3] === COLON)) return NaN;
  const hours = digitPair(bytes, at + 1);
  const minutes = length === 3 ? 0 : digitPair(bytes, end - 2);
  if (hours < 0 || hours > 23 || minutes < 0 || minutes > 59) return NaN;
  const ms = (hours * 60 + minutes) * MINUTE_MS;
  return sign === MINUS ? -ms : ms;
}

/** A plain decimal, rounded to the nearest whole (a half away from 1970); NaN where it is not one. */
function epochMs(bytes: Uint8Array, start: number, end: number): number {
  const negative = bytes[start] === MINUS;
  const from = negative ? start + 1 : start;
  let at = from;
  let ms = 0;
  for (; at < end; at++) {
    const digit = (bytes[at] as number) - ZERO;
    if (digit < 0 || digit > 9) break;
    ms = ms * 10 + digit;
  }
  if (at === from) return NaN;
  if (at < end) {
    const fraction = at + 1;
    if (bytes[at] !== DOT || fraction === end) return NaN;
    for (at = fraction; at < end; at++) {
      const digit = (bytes[at] as number) - ZERO;
      if (digit < 0 || digit > 9) return NaN;
    }
    if ((bytes[fraction] as number) - ZERO >= 5) ms++;
  }
  return negative ? 0 - ms : ms;
}

/** The number that two digits say; `NOT_DIGITS` where they are not digits. */
function digitPair(bytes: Uint8Array, at: number): number {
  const tens = (bytes[at] as number) - ZERO;
  const ones = (bytes[at + 1] as number) - ZERO;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : NOT_DIGITS;
}

function daysInMonth(year: number, month: number): number {
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return month === 2 && leap ? 29 : (DAYS_IN_MONTH[month - 1] as number);
}

/**
 * Days from 1970-01-01 to a date of the proleptic Gregorian calendar (ISO 8601): years are counted from 1 March, so that
 * the leap day comes last and the months before it follow (153·m + 2) / 5. One cycle of 400 years is added first, so
 * that nothing is negative and whole-number division truncates the right way.
 */
function dayNumber(year: number, month: number, day: number): number {
  const marchYear = (month > 2 ? year : year - 1) + 400;
  const dayOfYear = (((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) | 0) + day - 1;
  const leapDays = ((marchYear / 4) | 0) - ((marchYear / 100) | 0) + ((marchYear / 400) | 0);
  return marchYear * 365 + leapDays + dayOfYear - EPOCH_DAY;
}
