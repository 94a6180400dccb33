import type { SettledWindow } from '../position/settle-window.js';

/** A settled window with what the account of chain length needs beside it. */
export interface WindowRecord extends SettledWindow {
  /** Local calendar date of its end. */
  readonly date: string;
  /** How many settled windows it stands for: 1, or more where a past day was drawn together. */
  readonly windows: number;
  /** Running hours of the conveyor up to the window's end. */
  readonly runHours: number;
  /** Σ g·x of the other take-ups on the chain at the time; 0 where there is none, NaN where one is not known. */
  readonly othersTakenUp: number;
  /** Σ of the other take-ups' strand tensions, N. */
  readonly othersTension: number;
}

/** A lasting step of the carriage between two settled windows. */
export interface Step {
  readonly id: string;
  readonly takeup: number;
  /** End of the last settled window before, and start of the first after. */
  readonly fromMs: number;
  readonly toMs: number;
  /** Positive outwards. */
  readonly moveMm: number;
  /** The conveyor ran all the while. */
  readonly whileRunning: boolean;
}

/** The settled windows of a take-up: days long past as one or a few records, the last days window by window. */
export interface Windows {
  readonly last: WindowRecord | undefined;
  /** The latest window that ended by a time. */
  lastUntil(timeMs: number): WindowRecord | undefined;
  /** The first window that began at a time or later, and suits. */
  firstFrom(timeMs: number, suits?: (window: WindowRecord) => boolean): WindowRecord | undefined;
}

export type RecentWindows = (takeupIndex: number) => Windows | undefined;
