import { describe, expect, it } from 'vitest';
import { History, type HistorySaved } from '../../../agent/flow/ledger/history.js';
import { isPacked, WINDOW_NUMBERS } from '../../../agent/flow/ledger/packed-windows.js';
import { WINDOW_MS, windowAt } from './window.js';

const A_DAY = 144;
const DAY_MS = A_DAY * WINDOW_MS;

/** A history of so many days of windows that go out by a millimetre a day. */
function history(days: number): History {
  const all = new History();
  for (let i = 0; i < days * A_DAY; i++) all.add(windowAt(i, 60 + i / A_DAY));
  return all;
}

describe('the settled windows of a take-up', () => {
  it('are kept one by one for four days, and drawn together by days before', () => {
    const all = history(10);
    all.condense(10 * DAY_MS, []);
    expect(all.all.filter(({ windows }) => windows === 1)).toHaveLength(4 * A_DAY);
    expect(all.all.filter(({ windows }) => windows > 1).map(({ date, windows }) => [date, windows])).toEqual(
      Array.from({ length: 6 }, (_, day) => [`1970-01-0${day + 1}`, A_DAY]),
    );
  });

  it('drawn together keep the medians, the extremes and the ends of their day', () => {
    const all = history(10);
    const [first] = all.all;
    all.condense(10 * DAY_MS, []);
    const day = all.all[0]!;
    expect(day.mean).toBeCloseTo(60 + 143 / 2 / A_DAY, 9);
    expect(day).toMatchObject({
      fromMs: first!.fromMs,
      toMs: DAY_MS - 1000,
      least: 59,
      count: 600 * A_DAY,
      runHours: 24,
      date: '1970-01-01',
    });
    expect(day.most).toBeCloseTo(61 + 143 / A_DAY, 9);
  });

  it('are never drawn together across a time at which chain, nut or sensor changed', () => {
    const all = history(10);
    const cut = 2 * DAY_MS + 30 * WINDOW_MS;
    all.condense(10 * DAY_MS, [cut]);
    expect(all.all.slice(0, 5).map(({ windows }) => windows)).toEqual([A_DAY, A_DAY, 30, A_DAY - 30, A_DAY]);
    expect(all.all.some(({ fromMs, toMs }) => fromMs < cut && toMs > cut)).toBe(false);
  });

  it('drawn together once stay so, and do not wander', () => {
    const all = history(10);
    all.condense(10 * DAY_MS, []);
    const once = JSON.stringify(all.save());
    all.condense(10 * DAY_MS, []);
    expect(JSON.stringify(all.save())).toBe(once);
  });

  it('come back whole from what was saved through JSON, what is not known included', () => {
    const all = history(6);
    all.condense(6 * DAY_MS, []);
    const back = new History(JSON.parse(JSON.stringify(all.save())) as HistorySaved);
    const numbers = (one: History): unknown[] => one.all.map((window) => [window.date, ...WINDOW_NUMBERS.map((field) => window[field])]);
    expect(numbers(back)).toEqual(numbers(all));
  });

  it('are laid together but for the last ones, over years too, and the last may still be replaced', () => {
    const [all, days] = [history(6), 100];
    for (let day = 6; day < days; day++) {
      for (let i = day * A_DAY; i < (day + 1) * A_DAY; i++) all.add(windowAt(i, 60 + i / A_DAY));
      all.condense((day + 1) * DAY_MS, []);
    }
    expect(all.all).toHaveLength(days - 4 + 4 * A_DAY);
    expect(all.all.filter((one) => !isPacked(one)).length).toBeLessThanOrEqual(days + 48);
    expect(all.all.map(({ fromMs }) => fromMs)).toEqual(all.all.map(({ fromMs }) => fromMs).toSorted((a, b) => a - b));
    const last = all.all.at(-1)!;
    all.replaceLast({ ...last, othersTakenUp: 7 });
    expect(all.all.at(-1)).toEqual({ ...last, othersTakenUp: 7 });
    expect(JSON.stringify(new History(all.save()).save())).toBe(JSON.stringify(all.save()));
  });

  it('may have the last one replaced after they came back, too', () => {
    const all = new History(JSON.parse(JSON.stringify(history(1).save())) as HistorySaved);
    const { last } = all;
    expect(isPacked(last!)).toBe(false);
    all.replaceLast({ ...last!, othersTakenUp: 7 });
    expect(all.all.at(-1)).toEqual({ ...last, othersTakenUp: 7 });
    expect(last).toMatchObject({ windows: 1, count: 600 });
  });
});
