import { CHANNELS } from '../position/settle-window.js';
import { fromSaved, type SavedNumber } from '../../units/saved.js';
import { PackedColumns } from './packed-columns.js';
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

const WIDTH = WINDOW_NUMBERS.length;

/** One of them, which reads as a window does. */
class PackedWindow {
  constructor(
    readonly among: PackedColumns,
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

/**
 * The same windows, laid together, for reading only. As objects of their own the windows of four days take half a megabyte; here each
 * takes some tens of bytes.
 */
export function packed(windows: readonly WindowRecord[]): readonly WindowRecord[] {
  const among = new PackedColumns(
    windows.length,
    WIDTH,
    (row, column) => (windows[row] as WindowRecord)[WINDOW_NUMBERS[column] as (typeof WINDOW_NUMBERS)[number]],
  );
  return windows.map(({ date }, row) => new PackedWindow(among, row, date) as unknown as WindowRecord);
}

/** Saved windows of a day, laid together without ever being objects of their own: a start takes up tens of thousands. */
export function packedRows(date: string, rows: readonly (readonly SavedNumber[])[]): readonly WindowRecord[] {
  const among = new PackedColumns(rows.length, WIDTH, (row, column) => fromSaved(rows[row]?.[column]));
  return rows.map((_, row) => new PackedWindow(among, row, date) as unknown as WindowRecord);
}

/** Whether a window is laid together with others already. */
export function isPacked(window: WindowRecord): boolean {
  return window instanceof PackedWindow;
}
