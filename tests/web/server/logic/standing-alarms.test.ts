import { describe, expect, it } from 'vitest';
import { StandingAlarms } from '../../../../web/server/logic/standing-alarms.js';
import { alarmMessageOf, alarmOf, nowOf } from '../../a-takeup.js';

describe('which alarms stand', () => {
  it('is what the picture of a take-up lists', () => {
    const standing = new StandingAlarms();
    expect(standing.takeNow(nowOf())).toBe(false);
    expect(standing.takeNow(nowOf({ alarms: [alarmOf(), alarmOf({ alarm: 'stroke-low', state: 'normal' })] }))).toBe(true);
    expect(standing.list()).toMatchObject([{ alarm: 'stroke-end', conveyor: 'line1', takeup: 'tu1' }]);
  });

  it('is told at once by the message of the alarm, before the next picture', () => {
    const standing = new StandingAlarms();
    standing.takeNow(nowOf({ time: '2026-03-02T08:40:59.600Z' }));
    expect(standing.takeMessage(alarmMessageOf({ time: '2026-03-02T08:41:00Z' }))).toBe(true);
    expect(standing.list()).toHaveLength(1);
  });

  it('is as the later of the two says', () => {
    const standing = new StandingAlarms();
    standing.takeMessage(alarmMessageOf({ time: '2026-03-02T08:41:00Z' }));
    standing.takeNow(nowOf({ time: '2026-03-02T08:41:10Z', alarms: [] }));
    expect(standing.list()).toEqual([]);
    standing.takeMessage(alarmMessageOf({ time: '2026-03-02T08:42:00Z', state: 'acknowledged' }));
    expect(standing.list()).toMatchObject([{ state: 'acknowledged' }]);
  });

  it('counts an alarm once, whichever side it is seen on', () => {
    const standing = new StandingAlarms();
    standing.takeNow(nowOf({ time: '2026-03-02T08:41:00Z', alarms: [alarmOf({ side: 'left' })] }));
    standing.takeMessage(alarmMessageOf({ time: '2026-03-02T08:42:00Z', side: 'right' }));
    expect(standing.list()).toMatchObject([{ side: 'right' }]);
  });

  it('has alarms of signals that belong to no take-up, each signal for itself', () => {
    const standing = new StandingAlarms();
    for (const signal of ['line1/running', 'line1/furnace/temperature']) {
      const { conveyor, version, time, seen, consequence, action, respondWithinMin } = alarmMessageOf();
      standing.takeMessage({
        ...alarmOf({ alarm: 'signal-lost', signal }),
        conveyor,
        version,
        time,
        seen,
        consequence,
        action,
        respondWithinMin,
      });
    }
    expect(standing.list().map(({ signal, takeup }) => [signal, takeup])).toEqual([
      ['line1/running', undefined],
      ['line1/furnace/temperature', undefined],
    ]);
  });

  it('does not change by hearing the same again', () => {
    const standing = new StandingAlarms();
    standing.takeMessage(alarmMessageOf());
    expect(standing.takeMessage(alarmMessageOf())).toBe(false);
    standing.takeNow(nowOf({ alarms: [alarmOf()] }));
    expect(standing.takeNow(nowOf({ time: '2026-03-02T09:00:01Z', alarms: [alarmOf()] }))).toBe(false);
  });
});
