import { pointerTokens } from '../flow/reading/json-pointer.js';
import type { Signal } from '../site/site.js';
import { formatTime } from '../units/time.js';

/** What a sensor would publish so that the agent reads this value and time out of it, by the signal's own pointers. */
export function sensorPayload(signal: Signal, raw: number, timeMs: number): string {
  const time = formatTime(timeMs);
  if (signal.pointer === undefined && signal.timePointer === undefined) return JSON.stringify({ value: raw, time });
  const document: Record<string, unknown> = {};
  put(document, pointerTokens(signal.pointer ?? '/value') ?? [], raw);
  if (signal.timePointer !== undefined) put(document, pointerTokens(signal.timePointer) ?? [], time);
  return JSON.stringify(document);
}

function put(document: Record<string, unknown>, tokens: readonly string[], value: unknown): void {
  let at = document;
  tokens.forEach((token, index) => {
    if (index === tokens.length - 1) {
      at[token] = value;
      return;
    }
    const next = at[token];
    const child = typeof next === 'object' && next !== null ? (next as Record<string, unknown>) : {};
    at[token] = child;
    at = child;
  });
}
