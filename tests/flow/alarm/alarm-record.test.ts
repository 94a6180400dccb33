import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AlarmRecord } from '../../../agent/flow/alarm/alarm-record.js';

const PLACE = { conveyor: 'line', takeup: 'tu1' };
const fresh = (): AlarmRecord => new AlarmRecord(PLACE, 'stroke-end', 'high', 'mm');

describe('the state of an alarm', () => {
  // A1 [T] ISA-18.2 / IEC 62682: normal, unacknowledged, acknowledged, returned unacknowledged.
  it('goes from normal by raising and taking to acknowledged, and by returning back to normal', () => {
    const record = fresh();
    expect(record.state).toBe('normal');
    expect(record.raise(1000, 11, 11.5, 'left')).toMatchObject({
      change: 'raised',
      from: 'normal',
      to: 'unacknowledged',
      side: 'left',
      value: 11,
      limit: 11.5,
    });
    expect(record.acknowledge(2000, 'shift lead')).toMatchObject({
      change: 'acknowledged',
      from: 'unacknowledged',
      to: 'acknowledged',
      by: 'shift lead',
    });
    expect(record.clear(3000, 20)).toMatchObject({ change: 'cleared', from: 'acknowledged', to: 'normal', value: 20 });
  });

  it('that returns before anybody took it waits to be taken', () => {
    const record = fresh();
    record.raise(1000, 11, 11.5, null);
    expect(record.clear(2000, 20)).toMatchObject({ from: 'unacknowledged', to: 'returned-unacknowledged' });
    expect(record.acknowledge(3000, 'shift lead')).toMatchObject({ from: 'returned-unacknowledged', to: 'normal' });
  });

  it('cannot be taken where there is nothing to take', () => {
    const record = fresh();
    expect(record.acknowledge(1000, 'shift lead')).toBeUndefined();
    record.raise(2000, 11, 11.5, null);
    record.acknowledge(3000, 'shift lead');
    expect(record.acknowledge(4000, 'another')).toBeUndefined();
    expect(record.changedMs).toBe(3000);
  });

  it('says no value where none is known', () => {
    const record = fresh();
    expect(record.raise(1000, NaN, null, null)).toMatchObject({ value: null, limit: null });
    expect(record.clear(2000, NaN)).toMatchObject({ value: null });
  });

  it('comes back whole from what was saved through JSON', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('raise', 'clear', 'take'), { maxLength: 8 }), (acts) => {
        const record = fresh();
        acts.forEach((act, i) => {
          if (act === 'raise') record.raise(i, i, 11.5, 'right');
          else if (act === 'clear') record.clear(i, i);
          else record.acknowledge(i, 'shift lead');
        });
        const back = new AlarmRecord(
          PLACE,
          'stroke-end',
          'high',
          'mm',
          JSON.parse(JSON.stringify(record.save())) as ReturnType<AlarmRecord['save']>,
        );
        expect(back).toEqual(record);
      }),
    );
  });
});
