import { describe, expect, it } from 'vitest';
import type { Call } from '../../../../agent/flow/page/call.js';
import type { AlarmEventAnswer } from '../../../../web/server/logic/answers.js';
import { alarmPaging, pagingKnown, type PagedMessage, type PagingKnown } from '../../../../web/server/logic/alarm-paging.js';
import type { StandingEntry } from '../../../../web/server/logic/live-messages.js';
import { alarmId } from '../../../../web/server/logic/standing-alarms.js';
import { pagedSite } from '../../../flow/page/desk.js';
import { alarmOf } from '../../a-takeup.js';

const SINCE_MS = Date.parse('2026-03-02T08:41:00Z');
const SITE = pagedSite();
const NOTHING: PagingKnown = { calls: [], messages: [], notes: [] };
const CALL = 'line1|tu1||stroke-end|' + String(SINCE_MS);

const stands = (different: Partial<StandingEntry> = {}): StandingEntry => {
  const entry = { ...alarmOf(), conveyor: 'line1', takeup: 'tu1', ...different };
  return { ...entry, id: alarmId(entry) };
};
const occurrence = { conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', sinceMs: SINCE_MS } as const;
const message = (different: Partial<PagedMessage> = {}): PagedMessage => ({
  ...{ call: CALL, person: 'marta', channel: 'email', madeMs: SINCE_MS + 200, state: 'delivered', tries: 1, nextMs: SINCE_MS + 200 },
  ...{ settledMs: SINCE_MS + 900, said: '250 taken for marta@alder-point.example', about: { alarms: [occurrence] } },
  ...different,
});
const call = (different: Partial<Call> = {}): Call => ({
  ...{ id: CALL, openedMs: SINCE_MS, firstMs: SINCE_MS + 30_000, urgentMs: null, lastMs: null, stepsDoneMs: SINCE_MS - 1, rounds: 0 },
  ...{ alarms: [{ ...occurrence, priority: 'high', value: 8, limit: 11, unit: 'mm', returned: false }] },
  ...{ told: {}, lost: [], unanswered: null },
  ...different,
});
const of = (known: Partial<PagingKnown>, alarm = stands(), taken: readonly AlarmEventAnswer[] = [], withWords = true) =>
  alarmPaging([alarm], { ...NOTHING, ...known }, taken, SITE, withWords)[0];

describe('what is told of paging about an alarm', () => {
  it('is who was paged, when, over which channel, and what became of it', () => {
    expect(of({ messages: [message()] })).toEqual({
      id: stands().id,
      pages: [
        {
          ...{ person: 'Marta', channel: 'email', madeMs: SINCE_MS + 200, state: 'delivered', tries: 1, alarms: 1 },
          ...{ settledMs: SINCE_MS + 900, said: '250 taken for marta@alder-point.example' },
        },
      ],
      notes: [],
    });
  });

  it('leaves out what the mail server said for those who only look: it may name an address', () => {
    expect(of({ messages: [message()] }, stands(), [], false)?.pages[0]).not.toHaveProperty('said');
  });

  it('is no page of another alarm, nor of the time before this one rose', () => {
    const other = message({ about: { alarms: [{ ...occurrence, takeup: 'tu2' }] } });
    const before = message({ madeMs: SINCE_MS - 3600_000, about: { alarms: [{ ...occurrence, sinceMs: SINCE_MS - 3600_000 }] } });
    expect(of({ messages: [other, before] })?.pages).toEqual([]);
  });

  it('is the page of a call that is still open, where the alarm went and rose again meanwhile', () => {
    const before = message({ madeMs: SINCE_MS - 600_000, about: { alarms: [{ ...occurrence, sinceMs: SINCE_MS - 600_000 }] } });
    expect(of({ messages: [before], calls: [call({ lastMs: SINCE_MS - 600_000 })] })?.pages).toHaveLength(1);
  });

  it('counts all alarms that the page told of, also those that its text did not name', () => {
    const flood = Array.from({ length: 500 }, (_, nth) => ({ ...occurrence, takeup: `tu${nth}` }));
    expect(of({ messages: [message({ about: { alarms: flood } })] }, stands({ takeup: 'tu499' }))?.pages[0]?.alarms).toBe(500);
  });

  it('is why nobody was paged, or somebody was not', () => {
    const notes = [
      { timeMs: SINCE_MS + 100, reason: 'no-ladder', conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end' },
      { timeMs: SINCE_MS + 200, reason: 'no-channel', call: CALL, person: 'marta' },
      { timeMs: SINCE_MS - 600_000, reason: 'acknowledged', conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end' },
      { timeMs: SINCE_MS + 300, reason: 'shelved', conveyor: 'line1', takeup: 'tu2', alarm: 'stroke-end' },
    ];
    expect(of({ notes, calls: [call({ lastMs: SINCE_MS })] })?.notes).toEqual([
      { timeMs: SINCE_MS + 100, reason: 'no-ladder' },
      { timeMs: SINCE_MS + 200, reason: 'no-channel', person: 'Marta' },
    ]);
  });

  it('is when the first page is due, as long as there was none', () => {
    expect(of({ calls: [call()] })?.dueMs).toBe(SINCE_MS + 30_000);
    expect(of({ calls: [call({ lastMs: SINCE_MS + 30_000 })] })).not.toHaveProperty('dueMs');
  });

  it('is to whom it goes next, by name', () => {
    const next = { atMs: SINCE_MS + 300_000, to: 'jonas' };
    expect(of({ messages: [message({ about: { alarms: [occurrence], next } })] })?.next).toEqual({ atMs: SINCE_MS + 300_000, to: 'Jonas' });
  });

  it('is who took it, while it stands acknowledged', () => {
    const took: AlarmEventAnswer = {
      ...{ kind: 'alarm', id: 'e1', timeMs: SINCE_MS + 60_000, conveyor: 'line1', takeup: 'tu1', alarm: 'stroke-end', priority: 'high' },
      ...{ change: 'acknowledged', from: 'unacknowledged', to: 'acknowledged', value: 8, limit: 11, unit: 'mm', by: 'Marta' },
    };
    expect(of({}, stands({ state: 'acknowledged' }), [took])?.taken).toEqual({ by: 'Marta', timeMs: SINCE_MS + 60_000 });
    expect(of({}, stands(), [took])).not.toHaveProperty('taken');
    expect(of({}, stands({ state: 'acknowledged' }), [{ ...took, timeMs: SINCE_MS - 1000 }])).not.toHaveProperty('taken');
  });

  it('reads what earlier versions kept, which did not say what a page was about', () => {
    const { about, ...plain } = message();
    const kept = { ...plain, id: 'x', address: 'a', body: '{"subject":"Travel nearly used up"}' };
    expect(about.alarms).toHaveLength(1);
    expect(pagingKnown({ messages: [kept], notes: [] }).messages[0]?.about).toEqual({ alarms: [] });
  });
});
