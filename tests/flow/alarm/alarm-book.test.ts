import { describe, expect, it } from 'vitest';
import { AlarmBook, type AlarmBookSaved } from '../../../agent/flow/alarm/alarm-book.js';
import type { TellAlarm } from '../../../agent/flow/alarm/alarm-name.js';
import type { Output } from '../../../agent/flow/output.js';
import type { Conveyor, Signal } from '../../../agent/site/site.js';
import { side, testSite } from '../way/test-site.js';

const CONVEYOR: Conveyor = testSite({
  conveyor: { signals: { running: {} } },
  position: { unit: 'mA', scale: { from: [4, 20], to: [0, 230] } },
}).conveyors[0]!;
const LEFT = CONVEYOR.takeups[0]!.sides.left.position;
const RUNNING = CONVEYOR.running!;

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

const again = (book: AlarmBook): AlarmBook => new AlarmBook(CONVEYOR, JSON.parse(JSON.stringify(book.save())) as AlarmBookSaved);
const clocks = (timeMs: number): { timeMs: number; runningMs: number; running: number } => ({ timeMs, runningMs: timeMs, running: 1 });

/** Runs a spring's length past all that judge it. */
function judgeSpring(book: AlarmBook, lengthMm: number, seconds: readonly number[]): Output[] {
  const out: Output[] = [];
  for (const second of seconds) for (const watch of book.watchesOf(0, 'spring-side')) watch.judge(0, lengthMm, clocks(second * 1000), out);
  return out;
}

describe('the alarms of a conveyor', () => {
  it('that are told are raised once and cleared once, however often they are told', () => {
    const book = new AlarmBook(CONVEYOR);
    const out: Output[] = [];
    for (const timeMs of [1000, 2000]) book.tell(lost(LEFT, 'tu1', true, timeMs), out);
    for (const timeMs of [3000, 4000]) book.tell(lost(LEFT, 'tu1', false, timeMs), out);
    expect(out).toMatchObject([
      { timeMs: 1000, change: 'raised', takeup: 'tu1', side: 'left', signal: LEFT.name, priority: 'medium', unit: 's' },
      { timeMs: 3000, change: 'cleared' },
    ]);
  });

  it('of a signal that belongs to no take-up stand at the conveyor and are low', () => {
    const book = new AlarmBook(CONVEYOR);
    const out: Output[] = [];
    book.tell(lost(RUNNING, undefined, true, 1000), out);
    expect(out).toMatchObject([{ conveyor: 'line', signal: 'line/running', priority: 'low' }]);
    expect(out[0]).not.toHaveProperty('takeup');
    expect(book.standing(undefined).map(({ key }) => key)).toEqual(['signal-lost']);
    expect(book.standing('tu1')).toEqual([]);
  });

  it('of each sensor are alarms of their own', () => {
    const book = new AlarmBook(CONVEYOR);
    const right = CONVEYOR.takeups[0]!.sides.right.position;
    book.tell(lost(LEFT, 'tu1', true, 1000), []);
    book.tell(lost(right, 'tu1', true, 2000), []);
    book.tell(lost(LEFT, 'tu1', false, 3000), []);
    expect(book.isUp('tu1', 'signal-lost', LEFT.name)).toBe(false);
    expect(book.isUp('tu1', 'signal-lost', right.name)).toBe(true);
    expect(book.foremost('tu1', 'signal-lost', undefined)?.place.signal).toBe(right.name);
  });

  it('are taken by whoever names them, and only while they wait for it', () => {
    const book = new AlarmBook(CONVEYOR);
    const out: Output[] = [];
    const name = { takeup: 'tu1', alarm: 'signal-lost', signal: LEFT.name };
    const ack = { kind: 'acknowledge', by: 'shift lead' } as const;
    book.tell(lost(LEFT, 'tu1', true, 1000), out);
    expect(book.stateOf(name)).toBe('unacknowledged');
    expect(book.act({ takeup: 'tu1', alarm: 'stroke-end' }, ack, 2000, out)).toBe(false);
    expect(book.act(name, ack, 2000, out)).toBe(true);
    expect(book.act(name, ack, 3000, out)).toBe(false);
    expect(out).toMatchObject([{ change: 'raised' }, { change: 'acknowledged', by: 'shift lead', timeMs: 2000 }]);
    expect(book.stateOf(name)).toBe('acknowledged');
  });

  it.each([
    { takeup: 'tu1', alarm: 'signal-lost' },
    { takeup: 'tu1', alarm: 'signal-lost', signal: 'line/running' },
    { alarm: 'signal-lost', signal: LEFT.name },
    { takeup: 'tu1', alarm: 'stroke-end', signal: LEFT.name },
    { alarm: 'stroke-end' },
    { takeup: 'tu9', alarm: 'stroke-end' },
    { takeup: 'tu1', alarm: 'agent-silent' },
    { takeup: 'tu1', alarm: 'stroke-ends' },
  ])('that a site does not have cannot be set aside: %o', (name) => {
    const book = new AlarmBook(CONVEYOR);
    expect(book.stateOf(name)).toBeUndefined();
    expect(book.act(name, { kind: 'out-of-service', by: 'engineer', why: 'away' }, 1000, [])).toBe(false);
  });

  it('rest while a service is open on the take-up, and rise as soon as it is closed', () => {
    const book = new AlarmBook(CONVEYOR);
    book.setService(0, true, -Infinity, 0, []);
    expect(book.serviceOpen(0)).toBe(true);
    // What would have risen is told once, however long it lasts.
    expect(judgeSpring(book, 155, [0, 1, 2, 3])).toMatchObject([
      { alarm: 'spring-near-solid', change: 'suppressed', timeMs: 1000, value: 155, why: 'a service is open on the take-up' },
    ]);
    const out: Output[] = [];
    book.setService(0, false, 60_000, 60_000, out);
    expect(out).toMatchObject([{ alarm: 'spring-near-solid', change: 'unsuppressed', to: 'normal', timeMs: 60_000 }]);
    // The reading is from before it was closed, and judged after: the alarm is not.
    expect(judgeSpring(book, 155, [4])).toMatchObject([{ alarm: 'spring-near-solid', change: 'raised', timeMs: 60_000 }]);
  });

  it('that are told rest with the others, but for those of the signals', () => {
    const book = new AlarmBook(CONVEYOR);
    const step: TellAlarm = { key: 'change-unrecorded', takeup: 'tu1', up: true, timeMs: 1000, value: -76, limit: 4 };
    const out: Output[] = [];
    book.setService(0, true, -Infinity, 0, out);
    book.tell(step, out);
    book.tell(step, out);
    book.tell(lost(LEFT, 'tu1', true, 2000), out);
    expect(out.splice(0)).toMatchObject([{ alarm: 'change-unrecorded', change: 'suppressed' }, { alarm: 'signal-lost' }]);
    book.setService(0, false, 60_000, 60_000, out);
    book.tell(step, out);
    expect(out).toMatchObject([
      { alarm: 'change-unrecorded', change: 'unsuppressed' },
      { alarm: 'change-unrecorded', change: 'raised', timeMs: 60_000 },
    ]);
  });

  it('that say less rest while the one that says more is up', () => {
    const said = (output: Output): unknown => output.kind === 'alarm' && [output.alarm, output.change];
    const book = new AlarmBook(CONVEYOR);
    expect(judgeSpring(book, 150.5, [0, 1, 2]).map(said)).toEqual([
      ['spring-solid', 'raised'],
      ['spring-near-solid', 'suppressed'],
    ]);
    // Between the two set-points once more: the greater clears, and there and then the lesser rises.
    expect(judgeSpring(book, 155, [3, 8, 9]).map(said)).toEqual([
      ['spring-solid', 'cleared'],
      ['spring-near-solid', 'unsuppressed'],
      ['spring-near-solid', 'raised'],
    ]);
  });

  it('that say less and are up come back unacknowledged when the one that says more has cleared', () => {
    const book = new AlarmBook(CONVEYOR);
    judgeSpring(book, 155, [0, 1]);
    book.act({ takeup: 'tu1', alarm: 'spring-near-solid' }, { kind: 'acknowledge', by: 'shift lead' }, 1500, []);
    expect(judgeSpring(book, 150.5, [2, 3])).toMatchObject([
      { alarm: 'spring-solid', change: 'raised', timeMs: 3000 },
      { alarm: 'spring-near-solid', change: 'suppressed', from: 'acknowledged', timeMs: 3000, why: 'spring-solid is up and says more' },
    ]);
    expect(book.isUp('tu1', 'spring-near-solid')).toBe(true);
    expect(judgeSpring(book, 155, [4, 9])).toMatchObject([
      { alarm: 'spring-solid', change: 'cleared' },
      { alarm: 'spring-near-solid', change: 'unsuppressed', to: 'unacknowledged' },
    ]);
  });

  it('that say less are told of when the one that says more is set aside', () => {
    const book = new AlarmBook(CONVEYOR);
    judgeSpring(book, 150.5, [0, 1, 2]);
    const out: Output[] = [];
    const solid = { takeup: 'tu1', alarm: 'spring-solid' };
    book.act(solid, { kind: 'shelve', by: 'shift lead', why: 'known', untilMs: 60_000 }, 3000, out);
    expect(out).toMatchObject([{ change: 'shelved' }, { alarm: 'spring-near-solid', change: 'unsuppressed' }]);
    expect(judgeSpring(book, 150.5, [4])).toMatchObject([{ alarm: 'spring-near-solid', change: 'raised' }]);
  });

  it('follow the spring that was put in', () => {
    const book = new AlarmBook(CONVEYOR);
    book.setSpring(0, 0, { ...CONVEYOR.takeups[0]!.spring, solidMm: 100, clearanceMm: 10 });
    expect(judgeSpring(book, 111, [0, 1, 2])).toEqual([]);
    expect(judgeSpring(book, 110, [3, 4])).toMatchObject([{ alarm: 'spring-near-solid', limit: 110, side: 'left' }]);
  });

  it('come back from what was saved with their state, their place and their unit', () => {
    const book = new AlarmBook(CONVEYOR);
    book.tell(lost(LEFT, 'tu1', true, 1000), []);
    book.tell(lost(RUNNING, undefined, true, 2000), []);
    const fault = { key: 'signal-fault', takeup: 'tu1', signal: LEFT, side: 'left', timeMs: 3000, value: 3.2, limit: 3 } as const;
    book.tell({ ...fault, up: true }, []);
    judgeSpring(book, 155, [0, 1]);
    book.act({ takeup: 'tu1', alarm: 'spring-near-solid' }, { kind: 'acknowledge', by: 'shift lead' }, 4000, []);
    const back = again(book);
    for (const takeup of ['tu1', undefined]) expect(back.standing(takeup)).toEqual(book.standing(takeup));
    expect(back.save()).toEqual(book.save());
    const [before, after]: [Output[], Output[]] = [[], []];
    book.tell({ ...fault, up: false }, before);
    back.tell({ ...fault, up: false }, after);
    expect(after).toEqual(before);
    expect(after).toMatchObject([{ change: 'cleared', unit: 'mA', priority: 'medium' }]);
  });

  it('are saved in the same words, whether or not they were saved and read back on the way', () => {
    const acts: readonly ((book: AlarmBook) => void)[] = [
      (book) => {
        book.tell({ key: 'carriage-jump', takeup: 'tu1', up: false, timeMs: 500, value: 0, limit: 8 }, []);
      },
      (book) => {
        book.tell(lost(LEFT, 'tu1', true, 1000), []);
      },
      (book) => {
        book.tell({ key: 'carriage-jump', takeup: 'tu1', up: true, timeMs: 2000, value: 9, limit: 8 }, []);
      },
      (book) => judgeSpring(book, 155, [3, 4]),
    ];
    const whole = new AlarmBook(CONVEYOR);
    for (const act of acts) act(whole);
    for (let cut = 0; cut <= acts.length; cut++) {
      let book = new AlarmBook(CONVEYOR);
      acts.forEach((act, i) => {
        if (i === cut) book = again(book);
        act(book);
      });
      expect(JSON.stringify(book.save()), `saved after ${cut}`).toBe(JSON.stringify(whole.save()));
      expect(
        book.standing('tu1').map(({ key }) => key),
        `saved after ${cut}`,
      ).toEqual(whole.standing('tu1').map(({ key }) => key));
    }
  });

  it('of a take-up that the site no longer has are let go', () => {
    const book = new AlarmBook(CONVEYOR);
    book.tell(lost(LEFT, 'tu1', true, 1000), []);
    const saved = JSON.parse(JSON.stringify(book.save())) as AlarmBookSaved;
    const other = testSite({ takeup: { id: 'tu2', sides: { left: side(), right: side() } } }).conveyors[0]!;
    expect(new AlarmBook(other, saved).standing('tu2')).toEqual([]);
  });
});
