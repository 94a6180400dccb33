import { describe, expect, it } from 'vitest';
import { ALARM_KEYS, ALARM_STATES, PRIORITIES } from '../../../../agent/flow/alarm-key.js';
import {
  alarmTitle,
  alarmWords,
  callsForSomeone,
  isNew,
  isUp,
  priorityRank,
  stateWords,
} from '../../../../web/client/logic/alarm-words.js';

describe('an alarm in words', () => {
  it('has a name of its own for every key', () => {
    const names = ALARM_KEYS.map(alarmWords);
    expect(new Set(names).size).toBe(ALARM_KEYS.length);
    expect(names.filter((name, index) => name === ALARM_KEYS[index])).toEqual([]);
  });

  it('keeps a key that a newer agent raises', () => {
    expect(alarmWords('guard-open')).toBe('guard-open');
  });

  it('is named with the sensor that it is of, or the side on which it was seen', () => {
    const place = { conveyor: 'enamel', takeup: 'tu1' };
    expect(alarmTitle({ ...place, alarm: 'signal-lost', side: 'left', signal: 'enamel/tu1/left/position' })).toBe(
      'Sensor silent, left position',
    );
    expect(alarmTitle({ ...place, alarm: 'stroke-end', side: 'right' })).toBe('Travel nearly used up, right');
    expect(alarmTitle({ alarm: 'signal-lost', signal: 'enamel/furnace/temperature' })).toBe('Sensor silent');
    expect(alarmTitle({ ...place, alarm: 'stroke-low' })).toBe('Travel low');
  });

  it('ranks priorities as the standard does', () => {
    expect(PRIORITIES.map(priorityRank)).toEqual([0, 1, 2, 3]);
  });

  it('calls for someone unless it is normal or set aside, and is new until acknowledged', () => {
    expect(ALARM_STATES.filter(callsForSomeone)).toEqual(['unacknowledged', 'acknowledged', 'returned-unacknowledged']);
    expect(ALARM_STATES.filter(isUp)).toEqual(['unacknowledged', 'acknowledged']);
    expect(ALARM_STATES.filter(isNew)).toEqual(['unacknowledged', 'returned-unacknowledged']);
    expect(new Set(ALARM_STATES.map(stateWords)).size).toBe(ALARM_STATES.length);
  });
});
