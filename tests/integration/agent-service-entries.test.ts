import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { answerTopic } from '../../agent/contract/topics.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import type { LoggedEntry } from '../../agent/store/history.js';
import { Ear, HandClock, startAgent, type TestAgent, until } from './agent-plant.js';
import { BEGIN_MS, SITE_ID } from './agent-site.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

const MINUTE = 60_000;
const REMOVED = { time: '2026-02-02T06:01:00Z', conveyor: 'enamel', kind: 'chain-removed', pitches: 40 };

let mosquitto: Mosquitto;
let clock: HandClock;
let ear: Ear;
let running: TestAgent;
beforeAll(async () => {
  mosquitto = await startMosquitto();
});
afterAll(() => mosquitto.stop());
beforeEach(async () => {
  clock = new HandClock(BEGIN_MS + 2 * MINUTE);
  ear = await Ear.afresh(mosquitto.url);
  running = await startAgent({ url: mosquitto.url, clock });
});

/** The service log as it stands on the disk at this moment. */
async function log(): Promise<readonly LoggedEntry[]> {
  const reader = await openSqliteReader({ dataDir: running.dataDir });
  try {
    return await reader.entries();
  } finally {
    await reader.stop();
  }
}

describe('a service entry that is asked for', () => {
  it('is on the disk when it is confirmed, by whom and under a name, and counts at once', async () => {
    const request = 'entry-of-kari';
    let loggedWhenConfirmed: Promise<readonly LoggedEntry[]> | undefined;
    ear.client.on('message', (topic) => {
      if (topic === answerTopic(SITE_ID, request)) loggedWhenConfirmed ??= log();
    });
    expect(await ear.ask('service-entry', { entry: REMOVED }, request)).toEqual({ request, ok: true, message: 'recorded' });
    const [entry, ...others] = (await loggedWhenConfirmed) ?? [];
    expect(others).toEqual([]);
    expect(entry).toMatchObject({ conveyor: 'enamel', kind: 'chain-removed', timeMs: BEGIN_MS + MINUTE, takenMs: BEGIN_MS + 2 * MINUTE });
    expect(entry?.body).toEqual({ ...REMOVED, id: entry?.id, by: 'Kari' });
    await until(() => expect(ear.now('enamel', 'tu1')?.chain).toMatchObject({ pitches: 3160, removedPitches: 40 }));
  });

  it('and delivered twice is one entry, whether it names itself or not', async () => {
    for (const entry of [REMOVED, { ...REMOVED, id: 'shortened-on-monday' }]) {
      const request = `request-${'id' in entry ? 'named' : 'unnamed'}`;
      for (const delivery of ['first', 'second']) {
        expect(await ear.ask('service-entry', { entry }, request), delivery).toEqual({ request, ok: true, message: 'recorded' });
      }
    }
    expect((await log()).map(({ id }) => id)).toEqual(['request-unnamed', 'shortened-on-monday']);
    await until(() => expect(ear.now('enamel', 'tu1')?.chain.pitches).toBe(3120));
  });

  it('and delivered again to an agent that stopped before it could tell the broker is one entry', async () => {
    await ear.ask('service-entry', { entry: { ...REMOVED, pitches: 2000 } }, 'half-the-chain');
    await running.agent.stop();
    running = await startAgent({ url: mosquitto.url, clock, id: running.id, dataDir: running.dataDir });
    // Taken for news it would be refused: so much chain is not left to take out a second time.
    expect(await ear.ask('service-entry', { entry: { ...REMOVED, pitches: 2000 } }, 'half-the-chain')).toMatchObject({ ok: true });
    expect(await log()).toHaveLength(1);
  });

  it('under the name of another is refused', async () => {
    await ear.ask('service-entry', { entry: { ...REMOVED, id: 'monday' } });
    const answer = await ear.ask('service-entry', { entry: { ...REMOVED, pitches: 2, id: 'monday' } });
    expect(answer).toMatchObject({ ok: false, message: 'another one has that id already: give this one its own' });
    expect(await log()).toHaveLength(1);
  });

  it.each<readonly [what: string, entry: unknown, answer: RegExp]>([
    [
      'more chain than there is',
      { ...REMOVED, pitches: 3200 },
      /^3200 pitches cannot have been taken out of a chain of 3200: check the count$/,
    ],
    [
      'a spring longer than free',
      { ...REMOVED, kind: 'nut-turned', takeup: 'tu1', side: 'left', pitches: undefined, spring_mm: 500 },
      /longer than free/,
    ],
    ['work not done yet', { ...REMOVED, time: '2026-02-02T06:03:00Z' }, /^the entry lies in the future/],
    ['work before the reference', { ...REMOVED, time: '2026-01-01T00:00:00Z' }, /lies before the reference of enamel/],
    ['a kind that there is not', { ...REMOVED, kind: 'chain-removal' }, /perhaps chain-removed was meant/],
    ['no such conveyor', { ...REMOVED, conveyor: 'enamels' }, /^there is no conveyor "enamels" \(perhaps enamel was meant\)$/],
    [
      'a side of one of two take-ups',
      { ...REMOVED, kind: 'sensor-rezeroed', side: 'left', position_mm: 4, pitches: undefined },
      /^takeup is missing/,
    ],
    ['a correction of what was never entered', { time: REMOVED.time, kind: 'correction', replaces: 'never', pitches: 2 }, /never/],
    ['nothing', undefined, /^a service entry is a JSON object/],
    ['a text', 'chain removed', /^a service entry is a JSON object/],
  ])('and cannot be true is refused with a sentence: %s', async (_, entry, answer) => {
    expect(await ear.ask('service-entry', { entry })).toMatchObject({ ok: false, message: expect.stringMatching(answer) as string });
    expect(await log()).toEqual([]);
  });

  it('is corrected by one that names it, and struck out by another, over a restart', async () => {
    await ear.ask('service-entry', { entry: { ...REMOVED, id: 'monday' } });
    const correction = { time: REMOVED.time, kind: 'correction', replaces: 'monday', pitches: 42, id: 'counted-again' };
    expect(await ear.ask('service-entry', { entry: correction })).toMatchObject({ ok: true });
    await until(() => expect(ear.now('enamel', 'tu1')?.chain.pitches).toBe(3158));
    await running.agent.stop();
    running = await startAgent({ url: mosquitto.url, clock, id: running.id, dataDir: running.dataDir });
    await until(() => expect(ear.now('enamel', 'tu1')?.chain).toMatchObject({ pitches: 3158, removedPitches: 42 }));
    const struckOut = { time: '2026-02-02T06:01:30Z', kind: 'correction', replaces: 'monday', withdraw: true };
    expect(await ear.ask('service-entry', { entry: struckOut })).toMatchObject({ ok: true });
    await until(() => expect(ear.now('enamel', 'tu1')?.chain.pitches).toBe(3200));
    expect((await log()).map(({ kind }) => kind)).toEqual(['chain-removed', 'correction', 'correction']);
  });

  it('opens and closes a service, and meanwhile no alarm of that take-up rises', async () => {
    const service = { conveyor: 'enamel', takeup: 'tu1', time: '2026-02-02T06:02:00Z' };
    expect(await ear.ask('service-entry', { entry: { ...service, kind: 'service-opened' } })).toMatchObject({ ok: true });
    await until(() => expect(ear.now('enamel', 'tu1')?.service).toEqual({ since: service.time, by: 'Kari' }));
    expect(ear.now('enamel', 'tu2')?.service).toBeNull();
    await ear.readBoth('enamel/tu1', BEGIN_MS + 2 * MINUTE, BEGIN_MS + 2 * MINUTE + 20_000, 225);
    const state = (): unknown => ear.alarm('enamel', 'tu1', 'stroke-end')?.state;
    await until(() => expect(state()).toBe('suppressed-by-design'));
    clock.ms = BEGIN_MS + 3 * MINUTE;
    const closed = { ...service, time: '2026-02-02T06:03:00Z', kind: 'service-closed' };
    expect(await ear.ask('service-entry', { entry: closed })).toMatchObject({ ok: true });
    await until(() => expect(ear.now('enamel', 'tu1')?.service).toBeNull());
    expect(state()).toBe('normal');
    await ear.readBoth('enamel/tu1', clock.ms, clock.ms + 20_000, 225);
    await until(() => expect(state()).toBe('unacknowledged'));
  });
});
