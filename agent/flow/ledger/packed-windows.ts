import { CHANNELS } from '../position/settle-window.js';
import type { WindowRecord } from './window-record.js';

/** The numbers of a settled window, in the order in which they are saved. */
export const WINDOW_NUMBERS = [
  ...CHANNELS,
  'fromMs',
  'toMs',
  'count',
  'breathing',
  'springLeast',
  'springMost',
  'least',
  'most',
  'leftRange',
  'rightRange',
  'windows',
  'runHours',
  'othersTakenUp',
  'othersTension',
] as const satisfies readonly (keyof WindowRecord)[];

/** Ten-thousandths: what a sensor to the hundredth leaves of medians and means of two. */
const PARTS = 10_000;
const MOST_WHOLE = 2 ** 31 - 1;

/** How a column is kept: as the one number that all of it is, as ten-thousandths, or as it came. */
type Kept = 'one' | 'parts' | 'as-it-came';

/**
 * Settled windows laid together by columns, for reading only. As objects of their own the windows of four days take a take-up half a
 * megabyte; here each takes some tens of bytes, and every number comes back to the last bit.
 */
class PackedWindows {
  private readonly kept: readonly Kept[];
  /** Of each column its one number, or where it begins among those that are kept alike. */
  private readonly begins: readonly number[];
  private readonly parts: Int32Array;
  private readonly numbers: Float64Array;

  constructor(windows: readonly WindowRecord[]) {
    const count = windows.length;
    this.kept = WINDOW_NUMBERS.map((field) => howKept(windows, field));
    const room = { parts: 0, 'as-it-came': 0 };
    this.begins = this.kept.map((kept, column) => {
      if (kept === 'one') return (windows[0] as WindowRecord)[WINDOW_NUMBERS[column] as (typeof WINDOW_NUMBERS)[number]];
      room[kept] += count;
      return room[kept] - count;
    });
    this.parts = new Int32Array(room.parts);
    this.numbers = new Float64Array(room['as-it-came']);
    WINDOW_NUMBERS.forEach((field, column) => {
      const begin = this.begins[column] as number;
      const kept = this.kept[column];
      windows.forEach((window, row) => {
        if (kept === 'parts') this.parts[begin + row] = Math.round(window[field] * PARTS);
        else if (kept === 'as-it-came') this.numbers[begin + row] = window[field];
      });
    });
  }

  at(column: number, row: number): number {
    const begin = this.begins[column] as number;
    const kept = this.kept[column];
    if (kept === 'one') return begin;
    return kept === 'parts' ? (this.parts[begin + row] as number) / PARTS : (this.numbers[begin + row] as number);
  }
}

function howKept(windows: readonly WindowRecord[], field: (typeof WINDOW_NUMBERS)[number]): Kept {
  const first = (windows[0] as WindowRecord)[field];
  if (windows.every((window) => Object.is(window[field], first))) return 'one';
  const whole = windows.every((window) => {
    const parts = Math.round(window[field] * PARTS);
    return Math.abs(parts) <= MOST_WHOLE && Object.is(parts / PARTS, window[field]) && !Object.is(parts, -0);
  });
  return whole ? 'parts' : 'as-it-came';
}

/** One of them, which reads as a window does. */
class PackedWindow {
  constructor(
    readonly among: PackedWindows,
    readonly row: number,
    readonly date: string,
  ) {}
}

WINDOW_NUMBERS.forEach((field, column) => {
  Object.defineProperty(PackedWindow.prototype, field, {
    get(this: PackedWindow) {
      return this.among.at(column, this.row);
    },
  });
});

/** The same windows, laid together. */
export function packed(windows: readonly WindowRecord[]): readonly WindowRecord[] {
  const among = new PackedWindows(windows);
  return windows.map(({ date }, row) => new PackedWindow(among, row, date) as unknown as WindowRecord);
}

/** Whether a window is laid together with others already. */
export function isPacked(window: WindowRecord): boolean {
  return window instanceof PackedWindow;
}
