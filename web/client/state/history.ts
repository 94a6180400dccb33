import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { DayAnswer, SeriesAnswer } from '../../server/logic/answers.js';
import { numberOf } from '../logic/figure.js';
import { spreadOf, stretchOf, type HistoryRow, type HistoryStretch, type Quantity, type Spread } from '../logic/history-series.js';
import type { TimeWindow } from '../logic/time-window.js';
import { ask } from './api.js';

/** A take-up's place in the addresses of the API. */
export function takeupPath(conveyor: string, takeup: string): string {
  return `/api/takeups/${encodeURIComponent(conveyor)}/${encodeURIComponent(takeup)}`;
}

/**
 * A stretch of a take-up's history.
 *
 * @param points - as many as there are pixels to draw them on
 * @throws ApiProblem where the server cannot be reached or the past cannot be read
 */
export async function loadHistory(path: string, { fromMs, toMs }: TimeWindow, points: number): Promise<HistoryStretch> {
  const query = `from=${Math.max(0, Math.floor(fromMs))}&to=${Math.ceil(toMs)}&px=${Math.max(2, Math.round(points))}`;
  return stretchOf(await ask<SeriesAnswer>('GET', `${path}/series?${query}`));
}

/** Daily settled rows of a take-up, both dates included. @throws ApiProblem */
export function loadDays(path: string, from: string, to: string): Promise<readonly DayAnswer[]> {
  return ask<readonly DayAnswer[]>('GET', `${path}/days?from=${from}&to=${to}`);
}

/** What is heard live of a take-up, as a row of its history; undefined while nothing of it is known. */
export function heardRow(now: TakeupNow): HistoryRow | undefined {
  const [left, right] = [now.left, now.right];
  const position = numberOf(now.positionMm);
  const springs = [left.springMm, right.springMm].map(numberOf).filter((length) => length !== undefined);
  const tension = numberOf(now.strandTensionN);
  const values: Partial<Record<Quantity, Spread>> = {
    ...(position === undefined ? {} : { position: spreadOf(position) }),
    ...(springs.length === 0 ? {} : { spring: spreadOf(Math.min(...springs)) }),
    ...(tension === undefined ? {} : { tension: spreadOf(tension) }),
  };
  if (Object.keys(values).length === 0) return undefined;
  const timeMs = Date.parse(now.time);
  if (now.running === null) return { timeMs, values };
  return { timeMs, values, running: { fromMs: timeMs, toMs: timeMs, ran: now.running ? 1 : 0, stood: now.running ? 0 : 1 } };
}
