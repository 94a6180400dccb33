import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cursorText, readCursor, silencesOfPage, silencesThrough } from '../../../../web/server/logic/changes-page.js';
import type { SilenceEvent } from '../../../../web/server/logic/own-alarm.js';
import { SilentAlarm } from '../../../../web/server/logic/silent-alarm.js';

function silence(timeMs: number): SilenceEvent {
  const event = new SilentAlarm().judge({ state: 'silent', sinceMs: timeMs - 30_000, why: 'ended' }, timeMs);
  if (event === undefined) throw new Error('nothing is raised');
  return event;
}

describe('a place in the list', () => {
  it.each(['', '12', 'a-b', '1-2-3', '1-', '1e3-4'])('is not %j', (text) => {
    expect(readCursor(text)).toBeUndefined();
  });

  it('is read as it was written, before 1970 too', () => {
    for (const cursor of [
      { timeMs: 1_772_000_000_000, nr: 7 },
      { timeMs: -5, nr: 0 },
    ])
      expect(readCursor(cursorText(cursor))).toEqual(cursor);
  });
});

describe('transitions of the agent’s silence among those of the store', () => {
  it('are each on one page, however the store’s list is cut into pages', () => {
    const times = fc.integer({ min: 0, max: 30 });
    fc.assert(
      fc.property(fc.array(times), fc.array(times), fc.integer({ min: 1, max: 5 }), (own, stored, limit) => {
        const events = own.map(silence);
        const latestFirst = stored.toSorted((a, b) => b - a);
        const shown: number[] = [];
        let before: number | undefined;
        for (let from = 0; ; from += limit) {
          const page = latestFirst.slice(from, from + limit);
          const last = from + limit < latestFirst.length ? page.at(-1) : undefined;
          shown.push(...silencesOfPage(events, before, last).map(({ timeMs }) => timeMs));
          if (last === undefined) break;
          before = last;
        }
        expect(shown.toSorted((a, b) => a - b)).toEqual(own.toSorted((a, b) => a - b));
      }),
    );
  });

  it('are let through by time, alarm, priority and change, and by no place', () => {
    const events = [silence(40_000), silence(50_000)];
    const count = (filter: Parameters<typeof silencesThrough>[1]) => silencesThrough(events, filter).length;
    expect([count({}), count({ fromMs: 50_000 }), count({ toMs: 50_000 }), count({ conveyor: 'line1' }), count({ takeup: 'tu1' })]).toEqual(
      [...[2, 1, 1, 0, 0]],
    );
    expect([count({ alarms: ['agent-silent'] }), count({ alarms: ['stroke-low'] }), count({ priorities: ['low'] })]).toEqual([2, 0, 0]);
    expect([count({ changes: ['raised'] }), count({ changes: ['cleared'] })]).toEqual([2, 0]);
  });
});
