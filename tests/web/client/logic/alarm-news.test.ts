import { describe, expect, it } from 'vitest';
import type { StandingEntry } from '../../../../web/server/logic/live-messages.js';
import { alarmNews } from '../../../../web/client/logic/alarm-news.js';
import { alarmOf } from '../../a-takeup.js';

const entry = (different: Partial<StandingEntry> = {}): StandingEntry => ({
  id: 'a',
  conveyor: 'line1',
  takeup: 'tu1',
  ...alarmOf(),
  ...different,
});
const placeOf = () => 'Enamel furnace line, tu1';

describe('what a screen reader is told', () => {
  it('is that an alarm came, at once where it presses', () => {
    expect(alarmNews([], [entry()], placeOf)).toEqual([
      { pressing: true, text: 'High alarm: Travel nearly used up, Enamel furnace line, tu1.' },
    ]);
    expect(alarmNews([], [entry({ priority: 'low' })], placeOf)[0]?.pressing).toBe(false);
  });

  it('is that it went, whether or not somebody has acknowledged it', () => {
    const gone = [{ pressing: false, text: 'No longer: Travel nearly used up, Enamel furnace line, tu1.' }];
    expect(alarmNews([entry()], [], placeOf)).toEqual(gone);
    expect(alarmNews([entry()], [entry({ state: 'returned-unacknowledged' })], placeOf)).toEqual(gone);
  });

  it('is nothing when only a value moves, or somebody acknowledges', () => {
    expect(alarmNews([entry()], [entry({ value: 7.9, state: 'acknowledged' })], placeOf)).toEqual([]);
  });

  it('says of an alarm that stood and was set aside how it was, not that it is over', () => {
    expect(alarmNews([entry()], [entry({ state: 'shelved' })], placeOf)).toEqual([
      { pressing: false, text: 'Shelved: Travel nearly used up, Enamel furnace line, tu1.' },
    ]);
    expect(alarmNews([entry()], [entry({ state: 'out-of-service' })], placeOf)[0]?.text).toMatch(/^Out of service: /);
  });

  it('is nothing of what is set aside', () => {
    expect(alarmNews([], [entry({ state: 'suppressed-by-design' }), entry({ id: 'b', state: 'shelved' })], placeOf)).toEqual([]);
  });
});
