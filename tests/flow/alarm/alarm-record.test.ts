import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { AlarmRecord, type AlarmRecordSaved } from '../../../agent/flow/alarm/alarm-record.js';
import { termsOf } from '../../../agent/flow/alarm/alarm-terms.js';
import type { AlarmState } from '../../../agent/flow/alarm-key.js';
import type { AlarmOutput } from '../../../agent/flow/output.js';

const PLACE = { conveyor: 'line', takeup: 'tu1' };
const SEEN = { value: 11, limit: 11.5, side: 'left' } as const;
const fresh = (latch = false, saved?: AlarmRecordSaved): AlarmRecord =>
  new AlarmRecord(PLACE, 'stroke-end', { ...termsOf('stroke-end', undefined, undefined), latch }, saved);

/** What can happen to an alarm, each at its own second. */
const EVENTS = {
  rises: (record, ms) => record.raise(ms, SEEN),
  clears: (record, ms) => record.clear(ms, 20),
  acknowledge: (record, ms) => record.acknowledge(ms, 'shift lead'),
  shelve: (record, ms) => record.shelve(ms, ms + 1000, 'shift lead', 'sensor is cleaned'),
  unshelve: (record, ms) => record.unshelve(ms, { by: 'shift lead' }),
  suppress: (record, ms) => record.suppress(ms, 'service'),
  release: (record, ms) => record.release(ms),
  'take out': (record, ms) => record.takeOut(ms, 'engineer', 'sensor is away'),
  'put back': (record, ms) => record.putBack(ms, { by: 'engineer' }),
} as const satisfies Readonly<Record<string, (record: AlarmRecord, ms: number) => AlarmOutput | undefined>>;
type EventName = keyof typeof EVENTS;
const NAMES = Object.keys(EVENTS) as readonly EventName[];

const SHORT: Readonly<Record<string, AlarmState>> = {
  norm: 'normal',
  unack: 'unacknowledged',
  acked: 'acknowledged',
  rtnun: 'returned-unacknowledged',
  shlvd: 'shelved',
  dsupr: 'suppressed-by-design',
  oosrv: 'out-of-service',
};

/**
 * A1 [T] IEC 62682 / ANSI/ISA-18.2-2016, the alarm state transition diagram of clause 5 as transcribed: every state, with its condition
 * there or gone, against every event. `–`: it cannot happen to an alarm in this state, or is no transition. `·`: the condition is so
 * already. A latched alarm [M] is one whose condition has gone and that asks for its reset; here acknowledging it is the reset.
 */
const ROWS: readonly (readonly [state: string, active: boolean, way: readonly EventName[], row: string, latch?: true])[] = [
  //                                                    rises clears ackn. shelve unshl suppr rel.  out   back
  ['norm', false, [], 'unack ·     –     shlvd –     dsupr –     oosrv –'],
  ['unack', true, ['rises'], '·     rtnun acked shlvd –     dsupr –     oosrv –'],
  ['acked', true, ['rises', 'acknowledge'], '·     norm  –     shlvd –     dsupr –     oosrv –'],
  ['rtnun', false, ['rises', 'clears'], 'unack ·     norm  shlvd –     dsupr –     oosrv –'],
  ['shlvd', false, ['shelve'], 'shlvd ·     –     shlvd norm  –     –     oosrv –'],
  ['shlvd', true, ['rises', 'shelve'], '·     shlvd –     shlvd unack –     –     oosrv –'],
  ['dsupr', false, ['suppress'], 'dsupr ·     –     shlvd –     –     norm  oosrv –'],
  ['dsupr', true, ['rises', 'suppress'], '·     dsupr –     shlvd –     –     unack oosrv –'],
  ['oosrv', false, ['take out'], 'oosrv ·     –     –     –     –     –     –     norm'],
  ['oosrv', true, ['rises', 'take out'], '·     oosrv –     –     –     –     –     –     unack'],
  // Whether it was acknowledged before does not matter: one that is still there when it comes back is new to whoever looks.
  ['shlvd', true, ['rises', 'acknowledge', 'shelve'], '·     shlvd –     shlvd unack –     –     oosrv –'],
  ['dsupr', true, ['rises', 'acknowledge', 'suppress'], '·     dsupr –     shlvd –     –     unack oosrv –'],
  ['oosrv', true, ['rises', 'acknowledge', 'take out'], '·     oosrv –     –     –     –     –     –     unack'],
  // One that came and went, or that nobody acknowledged before it went, is over when it comes back.
  ['shlvd', false, ['rises', 'clears', 'shelve'], 'shlvd ·     –     shlvd norm  –     –     oosrv –'],
  ['dsupr', false, ['suppress', 'rises', 'clears'], 'dsupr ·     –     shlvd –     –     norm  oosrv –'],
  ['oosrv', false, ['take out', 'rises', 'clears'], 'oosrv ·     –     –     –     –     –     –     norm'],
  // A latching alarm that nobody acknowledged stays, also where it was set aside meanwhile; one that was acknowledged is over.
  ['unack', false, ['rises', 'clears'], 'unack ·     norm  shlvd –     dsupr –     oosrv –', true],
  ['acked', true, ['rises', 'acknowledge'], '·     norm  –     shlvd –     dsupr –     oosrv –', true],
  ['shlvd', false, ['rises', 'clears', 'shelve'], 'shlvd ·     –     shlvd unack –     –     oosrv –', true],
  ['oosrv', false, ['take out', 'rises', 'clears'], 'oosrv ·     –     –     –     –     –     –     unack', true],
];

const TABLE = ROWS.map(([state, active, way, row, latch]) => ({ state, active, way, row, latch: latch === true }));

describe('the states of IEC 62682 / ISA-18.2', () => {
  describe.each(TABLE)('$state, its condition there: $active, after $way', ({ state, active, way, row, latch }) => {
    const cells = row.split(/\s+/u);
    const brought = (): AlarmRecord => {
      const record = fresh(latch);
      way.forEach((name, i) => EVENTS[name](record, 1000 * (i + 1)));
      return record;
    };

    it('is so', () => {
      expect([brought().state, brought().up]).toEqual([SHORT[state], active]);
      expect(cells).toHaveLength(NAMES.length);
    });

    test.each(NAMES.map((name, i) => [name, cells[i] as string] as const).filter(([, cell]) => cell !== '·'))('%s: %s', (name, cell) => {
      const record = brought();
      const event = EVENTS[name](record, 60_000);
      if (cell === '–') {
        expect(event).toBeUndefined();
        expect(record.state).toBe(SHORT[state]);
      } else {
        expect(event).toMatchObject({ from: SHORT[state], to: SHORT[cell], timeMs: 60_000 });
        expect(record.changedMs).toBe(60_000);
      }
      expect(record.state).toBe(event?.to ?? SHORT[state]);
    });
  });

  it('are all in the table', () => {
    expect(new Set(TABLE.map(({ state }) => SHORT[state]))).toEqual(new Set(Object.values(SHORT)));
  });
});

describe('an alarm', () => {
  it('that a person set aside says who, why and until when; what the design does meanwhile is no transition', () => {
    const record = fresh();
    record.raise(1000, SEEN);
    expect(record.shelve(2000, 9000, 'shift lead', 'sensor is cleaned')).toMatchObject({
      change: 'shelved',
      by: 'shift lead',
      why: 'sensor is cleaned',
      from: 'unacknowledged',
    });
    expect(record.shelf).toEqual({ by: 'shift lead', why: 'sensor is cleaned', sinceMs: 2000, untilMs: 9000 });
    expect(record.suppress(3000, 'service')).toBeUndefined();
    expect(record.unshelve(9000, { why: 'its time was up' })).toMatchObject({ change: 'unshelved', to: 'suppressed-by-design' });
    expect(record.release(10_000)).toMatchObject({ change: 'unsuppressed', to: 'unacknowledged' });
  });

  it('taken out of service while shelved is off the shelf', () => {
    const record = fresh();
    record.shelve(1000, 9000, 'shift lead', 'sensor is cleaned');
    expect(record.takeOut(2000, 'engineer', 'sensor is away')).toMatchObject({ from: 'shelved', to: 'out-of-service' });
    expect(record.shelf).toBeUndefined();
    expect(record.putBack(3000, { by: 'engineer', why: 'mended' })).toMatchObject({ change: 'in-service', by: 'engineer', why: 'mended' });
  });

  it('that would rise while it is suppressed shows what was seen, and rises anew when it is free', () => {
    const record = fresh();
    record.hold(1000, SEEN);
    expect(record.suppress(1000, 'service')).toMatchObject({ from: 'normal', value: 11, why: 'a service is open on the take-up' });
    expect(record.release(2000)).toMatchObject({ to: 'normal' });
    expect(record.raise(2000, SEEN)).toMatchObject({ from: 'normal', to: 'unacknowledged' });
  });

  it('says no value where none is known', () => {
    const record = fresh();
    expect(record.raise(1000, { value: NaN, limit: null, side: null })).toMatchObject({ value: null, limit: null });
    expect(record.clear(2000, NaN)).toMatchObject({ value: null });
  });

  it('read back from what was saved, at whatever point, goes on as if it had not been', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...NAMES), { maxLength: 14 }), fc.boolean(), fc.nat(14), (names, latch, cut) => {
        const whole = fresh(latch);
        let split = fresh(latch);
        names.forEach((name, i) => {
          if (i === cut) split = fresh(latch, JSON.parse(JSON.stringify(split.save())) as AlarmRecordSaved);
          if ((name === 'rises' && whole.up) || (name === 'clears' && !whole.up)) return;
          expect(EVENTS[name](split, i + 1)).toEqual(EVENTS[name](whole, i + 1));
        });
        expect(JSON.stringify(split.save())).toBe(JSON.stringify(whole.save()));
      }),
    );
  });

  it('saved by an earlier version comes back', () => {
    const saved = { active: true, acknowledged: false, sinceMs: 1000, changedMs: 1000, value: 11, limit: 11.5, side: 'left' } as const;
    expect(fresh(false, saved).state).toBe('unacknowledged');
  });
});
