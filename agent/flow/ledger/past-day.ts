import { WINDOW_NUMBERS } from './packed-windows.js';
import type { WindowRecord } from './window-record.js';

/** The settled windows of a local day that is over, oldest first: one by one, or drawn together. At least one. */
export interface PastDay {
  readonly date: string;
  readonly windows: readonly WindowRecord[];
}

/** A day as it is put on a shelf: the windows' numbers one after the other, each window's in the order of `WINDOW_NUMBERS`. */
export interface ShelvedDay {
  readonly date: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly numbers: Float64Array;
}

/**
 * Where one take-up's days lie that are over, outside of memory: an account of years needs no more room than one of a day. It is asked
 * seldom: when an entry changes the account, when a step is looked at again, once a day for the days that grow old.
 */
export interface PastShelf {
  /** The latest day that began before a time. */
  before(timeMs: number): ShelvedDay | undefined;
  /** The first day that ended after a time. */
  after(timeMs: number): ShelvedDay | undefined;
  /** All that ended after a time, oldest first. */
  since(timeMs: number): readonly ShelvedDay[];
}

const WIDTH = WINDOW_NUMBERS.length;

export function toShelf({ date, windows }: PastDay): ShelvedDay {
  const numbers = new Float64Array(windows.length * WIDTH);
  windows.forEach((window, row) => {
    WINDOW_NUMBERS.forEach((field, column) => {
      numbers[row * WIDTH + column] = window[field];
    });
  });
  return { date, fromMs: (windows[0] as WindowRecord).fromMs, toMs: (windows.at(-1) as WindowRecord).toMs, numbers };
}

export function fromShelf({ date, numbers }: ShelvedDay): PastDay {
  const windows: WindowRecord[] = [];
  for (let row = 0; row < numbers.length; row += WIDTH) windows.push(recordOf(date, (column) => numbers[row + column] as number));
  return { date, windows };
}

/** A window from its numbers. */
export function recordOf(date: string, numberAt: (column: number) => number): WindowRecord {
  const window: Record<string, number | string> = { date };
  WINDOW_NUMBERS.forEach((field, column) => {
    window[field] = numberAt(column);
  });
  return window as unknown as WindowRecord;
}
