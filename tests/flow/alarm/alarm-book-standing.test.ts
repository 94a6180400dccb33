import { describe, expect, it } from 'vitest';
import { AlarmBook, type AlarmBookSaved } from '../../../agent/flow/alarm/alarm-book.js';
import type { TellAlarm } from '../../../agent/flow/alarm/alarm-name.js';
import type { Output } from '../../../agent/flow/output.js';
import type { Conveyor, Signal } from '../../../agent/site/site.js';
import { testSite } from '../way/test-site.js';

const CONVEYOR: Conveyor = testSite({
  conveyor: { signals: { running: {} } },
  position: { unit: 'mA', scale: { from: [4, 20], to: [0, 230] } },
}).conveyors[0]!;

const lost = (signal: Signal, takeup: string | undefined, up: boolean, timeMs: number): TellAlarm => ({
  key: 'signal-lost',
  takeup,
  signal,
  ...(takeup === undefined ? {} : { side: 'left' as const }),
  up,
  timeMs,
  value: 30,
  limit: 30,
});

const clocks = (timeMs: number): { timeMs: number; runningMs: number; running: number } => ({ timeMs, runningMs: timeMs, running: 1 });

describe('the alarms of a conveyor that stands, or of a site with terms of its own,', () => {
  it('that are told wait for the delays that the site gives them, on the time that passes', () => {
    const limits = { 'signal-lost': { on_delay_s: 120, off_delay_s: 60 } };
    const conveyor = testSite({ takeup: { limits } }).conveyors[0]!;
    const left = conveyor.takeups[0]!.sides.left.position;
    let book = new AlarmBook(conveyor);
    const out: Output[] = [];
    // Back before its time: nothing is told.
    book.tell(lost(left, 'tu1', true, 0), out);
    book.tell(lost(left, 'tu1', false, 100_000), out);
    expect(book.dueMs).toBe(Infinity);
    // Told again it waits from the first time on, also across a restart.
    for (const timeMs of [200_000, 250_000]) book.tell(lost(left, 'tu1', true, timeMs), out);
    book = new AlarmBook(conveyor, JSON.parse(JSON.stringify(book.save())) as AlarmBookSaved);
    expect(book.dueMs).toBe(320_000);
    book.fallDue(319_999, out);
    expect(out).toEqual([]);
    book.fallDue(400_000, out);
    book.tell(lost(left, 'tu1', false, 500_000), out);
    book.fallDue(560_000, out);
    expect(out).toMatchObject([
      { change: 'raised', timeMs: 320_000, value: 30, side: 'left', signal: left.name },
      { change: 'cleared', timeMs: 560_000 },
    ]);
  });

  it('that need the conveyor to run are suppressed when it has stood for a minute, and come back when it runs', () => {
    const book = new AlarmBook(CONVEYOR);
    const out: Output[] = [];
    const [slack] = book.watchesOf(0, 'compression-side');
    for (const second of [0, 60]) slack!.judge(0, 10, clocks(second * 1000), out);
    book.act({ takeup: 'tu1', alarm: 'spring-slack' }, { kind: 'acknowledge', by: 'shift lead' }, 61_000, out);
    out.length = 0;
    book.runs(61_000, 1, out);
    // A drive that is tried, and a running signal that is lost, suppress nothing.
    book.runs(70_000, 0, out);
    book.runs(90_000, 1, out);
    book.runs(91_000, NaN, out);
    expect(book.dueMs).toBe(Infinity);
    book.runs(100_000, 0, out);
    expect(book.dueMs).toBe(160_000);
    book.fallDue(160_000, out);
    book.runs(170_000, NaN, out);
    book.runs(180_000, 1, out);
    expect(out).toMatchObject([
      { alarm: 'spring-slack', change: 'suppressed', from: 'acknowledged', timeMs: 160_000, why: 'the conveyor stands' },
      { alarm: 'spring-slack', change: 'unsuppressed', to: 'unacknowledged', timeMs: 180_000 },
    ]);
  });

  it('that are over keep waiting to be acknowledged while the conveyor stands', () => {
    const book = new AlarmBook(CONVEYOR);
    const [slack] = book.watchesOf(0, 'compression-side');
    for (const second of [0, 60]) slack!.judge(0, 10, clocks(second * 1000), []);
    slack!.judge(0, 100, clocks(70_000), []);
    const out: Output[] = [];
    book.runs(80_000, 0, out);
    book.fallDue(200_000, out);
    expect(out).toEqual([]);
    expect(book.stateOf({ takeup: 'tu1', alarm: 'spring-slack' })).toBe('returned-unacknowledged');
  });

  it('that latch stay until somebody has acknowledged them, by the list or by the site', () => {
    const conveyor = testSite({ takeup: { limits: { 'change-unrecorded': { latch: true }, 'carriage-jump': { latch: false } } } })
      .conveyors[0]!;
    const cases = [
      [CONVEYOR, 'carriage-jump', 'unacknowledged'],
      [CONVEYOR, 'change-unrecorded', 'returned-unacknowledged'],
      [conveyor, 'carriage-jump', 'returned-unacknowledged'],
      [conveyor, 'change-unrecorded', 'unacknowledged'],
    ] as const;
    for (const [of, alarm, to] of cases) {
      const book = new AlarmBook(of);
      const out: Output[] = [];
      for (const up of [true, false]) book.tell({ key: alarm, takeup: 'tu1', up, timeMs: up ? 1000 : 2000, value: 9, limit: 8 }, out);
      expect(out).toMatchObject([{ change: 'raised' }, { change: 'cleared', to }]);
      book.act({ takeup: 'tu1', alarm }, { kind: 'acknowledge', by: 'shift lead' }, 3000, out);
      expect(out[2]).toMatchObject({ to: 'normal' });
    }
  });

  it('have the priority that the site gives them at a take-up', () => {
    const conveyor = testSite({ takeup: { limits: { 'signal-lost': { priority: 'high' } } } }).conveyors[0]!;
    const out: Output[] = [];
    new AlarmBook(conveyor).tell(lost(conveyor.takeups[0]!.sides.left.position, 'tu1', true, 1000), out);
    expect(out).toMatchObject([{ alarm: 'signal-lost', priority: 'high' }]);
  });
});
