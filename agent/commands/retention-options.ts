import { USUAL_RETENTION } from '../live/housekeeping.js';
import { TakelineFault } from '../process/fault.js';
import type { Retention } from '../store/disk-use.js';
import { textOf, type Parsed } from './options.js';

/** The options that say for how long history is kept. */
export const RETENTION_OPTIONS = {
  'keep-raw': { type: 'string' },
  'keep-minutes': { type: 'string' },
  'max-disk': { type: 'string' },
} as const;

/** What help says of them. */
export const RETENTION_USAGE = `  --keep-raw DAYS      raw readings are kept for so long; default ${String(USUAL_RETENTION.rawDays)}. Those around alarms, findings and work stay
  --keep-minutes DAYS  minutes are kept for so long; default ${String(USUAL_RETENTION.minuteDays)}. Hours, days, alarms and entries stay
  --max-disk SIZE      most that the history may take, as 500M or 20G; the oldest raw readings go first. Default: no limit`;

const UNITS: Readonly<Record<string, number>> = { M: 2 ** 20, G: 2 ** 30, T: 2 ** 40 };
/** Less would not hold the figures of a small plant. */
const LEAST_BYTES = 16 * 2 ** 20;

/** For how long history is kept, as a command line says. @throws TakelineFault with exit code 2 where it says no time or no size */
export function retentionOf(parsed: Parsed): Retention {
  const size = textOf(parsed, 'max-disk');
  return {
    rawDays: daysOf(parsed, 'keep-raw', USUAL_RETENTION.rawDays),
    minuteDays: daysOf(parsed, 'keep-minutes', USUAL_RETENTION.minuteDays),
    ...(size === undefined ? {} : { maxBytes: bytesOf(size) }),
  };
}

function daysOf(parsed: Parsed, option: string, usual: number): number {
  const text = textOf(parsed, option);
  if (text === undefined) return usual;
  if (/^\d+(\.\d+)?$/.test(text) && Number(text) > 0) return Number(text);
  throw new TakelineFault('wrong-usage', `--${option} takes a number of days, not ${text}`, 2);
}

function bytesOf(text: string): number {
  const [, number, unit = ''] = /^(\d+(?:\.\d+)?)([MGT])i?B?$/i.exec(text) ?? [];
  const bytes = Number(number) * (UNITS[unit.toUpperCase()] ?? NaN);
  if (bytes >= LEAST_BYTES) return bytes;
  throw new TakelineFault('wrong-usage', `--max-disk takes a size of at least 16M, as 500M or 20G, not ${text}`, 2);
}
