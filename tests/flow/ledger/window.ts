import type { WindowRecord } from '../../../agent/flow/ledger/window-record.js';

export const WINDOW_MS = 600_000;

/** A settled window of ten minutes of a carriage at a position, in a row of them from time 0; with what the test says otherwise. */
export function windowAt(index: number, mean: number, own: Partial<WindowRecord> = {}): WindowRecord {
  return {
    fromMs: index * WINDOW_MS,
    toMs: (index + 1) * WINDOW_MS - 1000,
    count: 600,
    mean,
    left: mean,
    right: mean,
    skew: 0,
    springLeft: NaN,
    springRight: NaN,
    zoneHeat: 0,
    ambientHeat: 0,
    breathing: 2,
    springLeast: mean + 158,
    springMost: mean + 162,
    least: mean - 1,
    most: mean + 1,
    leftRange: 2,
    rightRange: 2,
    date: new Date(index * WINDOW_MS).toISOString().slice(0, 10),
    windows: 1,
    runHours: (index + 1) / 6,
    othersTakenUp: 0,
    othersTension: 0,
    ...own,
  };
}
