import type { Signal } from '../../site/site.js';
import { parseTime, wholeTime } from '../../units/time.js';
import { follow, pointerTokens } from './json-pointer.js';

/** A number and its time out of one payload; or why there is none. */
export type Decoded =
  | { readonly ok: true; readonly timeMs: number; readonly raw: number }
  /** `attributed`: the time is known, so the reading counts as one that was not a number. */
  | { readonly ok: false; readonly why: string; readonly attributed: boolean; readonly timeMs: number };

/** Reads the payloads of one signal. */
export type Decode = (payload: string, arrivalMs: number) => Decoded;

const DECIMAL = /^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*$/;
const VALUE = ['value'];
const TIME = ['time'];

/**
 * Makes the decoder of a signal: a bare number or true/false, `{"value": …, "time": …}`, or JSON with the site's pointers to value
 * and time (RFC 6901). The reading's own time is ISO 8601 with an offset, or epoch milliseconds; without one it is the arrival.
 */
export function decoderOf(signal: Pick<Signal, 'pointer' | 'timePointer'>): Decode {
  const valueAt = signal.pointer === undefined ? undefined : pointerTokens(signal.pointer);
  const timeAt = signal.timePointer === undefined ? undefined : pointerTokens(signal.timePointer);
  return (payload, arrivalMs) => {
    if (valueAt === undefined && timeAt === undefined && DECIMAL.test(payload)) {
      const raw = Number(payload);
      if (Number.isFinite(raw)) return { ok: true, timeMs: arrivalMs, raw };
    }
    let document: unknown;
    try {
      document = JSON.parse(payload);
    } catch {
      return bad('neither a number nor JSON', arrivalMs, true);
    }
    const bare = typeof document !== 'object' || document === null;
    const value = valueAt ? follow(document, valueAt) : bare ? document : follow(document, VALUE);
    const time = timeAt ? follow(document, timeAt) : valueAt || bare ? undefined : follow(document, TIME);
    // A time that is asked for and missing would be replaced by a guess, so the reading is refused.
    if (timeAt && time === undefined) return bad(`no time at ${signal.timePointer ?? ''}`, arrivalMs, false);
    const timeMs = time === undefined ? arrivalMs : timeOf(time);
    if (timeMs === undefined) return bad('its time is neither ISO 8601 with an offset nor epoch milliseconds', arrivalMs, false);
    const raw = numberOf(value);
    return raw === undefined ? bad('its value is no finite number', timeMs, true) : { ok: true, timeMs, raw };
  };
}

function bad(why: string, timeMs: number, attributed: boolean): Decoded {
  return { ok: false, why, attributed, timeMs };
}

function numberOf(value: unknown): number | undefined {
  if (typeof value === 'number') return Number.isFinite(value) ? value : undefined;
  if (typeof value === 'boolean') return value ? 1 : 0;
  if (typeof value === 'string' && DECIMAL.test(value)) {
    const number = Number(value);
    return Number.isFinite(number) ? number : undefined;
  }
  return undefined;
}

function timeOf(value: unknown): number | undefined {
  const timeMs = typeof value === 'number' ? wholeTime(value) : typeof value === 'string' ? parseTime(value) : undefined;
  return timeMs === undefined || Number.isNaN(timeMs) ? undefined : timeMs;
}
