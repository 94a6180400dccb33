import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { SideNow } from '../../agent/contract/messages.js';
import { alarmTopic, answerTopic, signalAlarmTopic } from '../../agent/contract/topics.js';
import { Ear, HandClock, numbersIn, startAgent, type TestAgent, until } from './agent-plant.js';
import { BEGIN_MS, SITE_ID } from './agent-site.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

const SECOND = 1000;
const STROKE_END = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' };

let mosquitto: Mosquitto;
let clock: HandClock;
let ear: Ear;
let running: TestAgent;
beforeAll(async () => {
  mosquitto = await startMosquitto();
});
afterAll(() => mosquitto.stop());
beforeEach(async () => {
  clock = new HandClock();
  ear = await Ear.afresh(mosquitto.url);
  running = await startAgent({ url: mosquitto.url, clock });
});

/** The carriage stands 10 mm from its outer stop, for so long from the beginning. */
const nearTheStop = (seconds: number): Promise<void> => ear.readBoth('enamel/tu1', BEGIN_MS, BEGIN_MS + seconds * SECOND, 220);

/** The same agent once more, on its data folder. */
const again = (): Promise<TestAgent> => startAgent({ url: mosquitto.url, clock, id: running.id, dataDir: running.dataDir });

describe('a carriage near the end of its stroke', () => {
  it('raises stroke-end when the on-delay is over by the time of the readings, not before', async () => {
    await nearTheStop(10);
    await until(() => expect(running.agent.readingCount).toBe(20));
    await ear.ask('no-such-verb', {});
    expect(ear.events()).toEqual([]);
    // The spike filter judges a reading when the three after it are in.
    await ear.readBoth('enamel/tu1', BEGIN_MS + 10 * SECOND, BEGIN_MS + 14 * SECOND, 220);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toBeDefined());
    const since = '2026-02-02T06:00:10Z';
    expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toMatchObject({
      ...STROKE_END,
      ...{ version: 1, state: 'unacknowledged', priority: 'high', side: 'left', since, time: since, value: 10, limit: 11.5, unit: 'mm' },
      respondWithinMin: expect.any(Number) as number,
    });
    expect(ear.events()).toMatchObject([
      {
        version: 1,
        time: since,
        conveyor: 'enamel',
        takeup: 'tu1',
        event: 'alarm',
        detail: { alarm: 'stroke-end', change: 'raised', value: 10 },
      },
    ]);
    await until(() => expect(ear.now('enamel', 'tu1')?.alarms).toMatchObject([{ alarm: 'stroke-end', state: 'unacknowledged', since }]));

    const later = await Ear.at(mosquitto.url);
    await until(() =>
      expect(later.heard).toContainEqual(
        expect.objectContaining({ topic: alarmTopic(SITE_ID, 'enamel', 'tu1', 'stroke-end'), retained: true }),
      ),
    );
  });

  it('is acknowledged by a request, once', async () => {
    await nearTheStop(15);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged'));
    clock.ms = BEGIN_MS + 20 * SECOND;
    expect(await ear.ask('acknowledge', STROKE_END, 'request-of-kari')).toEqual({
      request: 'request-of-kari',
      ok: true,
      message: 'acknowledged',
    });
    expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toMatchObject({
      state: 'acknowledged',
      time: '2026-02-02T06:00:20Z',
      since: '2026-02-02T06:00:10Z',
    });
    expect(ear.events().at(-1)).toMatchObject({
      time: '2026-02-02T06:00:20Z',
      detail: { change: 'acknowledged', by: 'Kari', from: 'unacknowledged', to: 'acknowledged' },
    });

    expect(await ear.ask('acknowledge', STROKE_END)).toMatchObject({
      ok: false,
      message: expect.stringContaining('somebody may have been quicker') as string,
    });
    // The same request once more is the broker's doing, not a second person's.
    expect(await ear.ask('acknowledge', STROKE_END, 'request-of-kari')).toMatchObject({ ok: true, message: 'acknowledged' });
    expect(ear.events().filter(({ detail }) => detail['change'] === 'acknowledged')).toHaveLength(1);
  });

  it('stays what it was over a stop and a start, and is cleared by readings that come after', async () => {
    await nearTheStop(15);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toBeDefined());
    await ear.ask('acknowledge', STROKE_END);
    await running.agent.stop();
    await until(() => expect(ear.status(running.id)).toMatchObject({ running: false, readings: 30 }));

    const before = ear.events().length;
    await again();
    await until(() => expect(ear.status(running.id)).toMatchObject({ running: true, readings: 0 }));
    await until(() =>
      expect(ear.now('enamel', 'tu1')).toMatchObject({
        positionMm: 220,
        alarms: [{ alarm: 'stroke-end', state: 'acknowledged', since: '2026-02-02T06:00:10Z' }],
      }),
    );
    expect(ear.events()).toHaveLength(before);

    await ear.readBoth('enamel/tu1', BEGIN_MS + 15 * SECOND, BEGIN_MS + 25 * SECOND, 210);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('normal'));
    expect(ear.events().slice(before)).toMatchObject([{ detail: { alarm: 'stroke-end', change: 'cleared', value: 20 } }]);
  });

  it('once cleared shows as normal again at a broker that was left with the alarm', async () => {
    await nearTheStop(15);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toBeDefined());
    const raised = ear.heard.find(({ topic }) => topic.endsWith('/alarm/stroke-end'))?.payload ?? '';
    await ear.ask('acknowledge', STROKE_END);
    await ear.readBoth('enamel/tu1', BEGIN_MS + 15 * SECOND, BEGIN_MS + 25 * SECOND, 210);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('normal'));
    await running.agent.stop();
    await ear.client.publishAsync(alarmTopic(SITE_ID, 'enamel', 'tu1', 'stroke-end'), raised, { qos: 1, retain: true });
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged'));
    await again();
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('normal'));
  });
});

describe('a signal that falls silent', () => {
  it('is lost after 30 s: all that it feeds is unknown, no alarm is cleared by it, and three readings bring it back', async () => {
    await nearTheStop(15);
    await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')).toBeDefined());
    clock.ms = BEGIN_MS + 43_999;
    await until(() => expect(ear.now('enamel', 'tu1')).toMatchObject({ time: '2026-02-02T06:00:43.999Z', positionMm: 220 }));
    clock.ms = BEGIN_MS + 44 * SECOND;
    await until(() => expect(ear.now('enamel', 'tu1')?.left.positionMm).toEqual({ unknown: 'signal-lost' }));
    const now = ear.now('enamel', 'tu1');
    const { chain, dayRangeMm, alarms, version, runHours, ...fed } = now!;
    expect({ version, pitches: chain.pitches, dayRangeMm }).toEqual({ version: 1, pitches: 3200, dayRangeMm: [220, 220] });
    // How long the conveyor has run rests on no sensor of the carriage.
    expect(runHours).toBeGreaterThan(0);
    // What springs it has is known from the site file and the entries, and rests on no sensor.
    const unsprung = (side: SideNow): object => ({ ...side, spring: undefined });
    expect(numbersIn({ ...fed, left: unsprung(fed.left), right: unsprung(fed.right) })).toEqual([]);
    expect(alarms).toMatchObject([
      { alarm: 'stroke-end', state: 'unacknowledged' },
      { alarm: 'signal-lost', side: 'left', since: '2026-02-02T06:00:44Z', value: 30, unit: 's' },
      { alarm: 'signal-lost', side: 'right' },
    ]);

    for (const second of [50, 51, 52]) {
      clock.ms = BEGIN_MS + second * SECOND;
      await ear.readBoth('enamel/tu1', clock.ms, clock.ms + 1, 220);
    }
    await until(() => expect(ear.alarm('enamel', 'tu1', 'signal-lost')?.state).toBe('returned-unacknowledged'));
    await ear.readBoth('enamel/tu1', BEGIN_MS + 53 * SECOND, BEGIN_MS + 57 * SECOND, 220);
    await until(() => expect(ear.now('enamel', 'tu1')).toMatchObject({ positionMm: 220, left: { positionMm: 220 } }));
    expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged');
  });

  it('and belongs to no take-up has its alarm beside the take-ups, and the whole conveyor hears of it', async () => {
    await ear.read('enamel/furnace/temperature', BEGIN_MS, 21);
    await until(() => expect(running.agent.readingCount).toBe(1));
    clock.ms = BEGIN_MS + 31 * SECOND;
    const topic = signalAlarmTopic(SITE_ID, 'enamel/furnace/temperature', 'signal-lost');
    await until(() =>
      expect(ear.on(topic)).toMatchObject([
        { conveyor: 'enamel', signal: 'enamel/furnace/temperature', priority: 'low', state: 'unacknowledged' },
      ]),
    );
    const event = ear.heard.find((one) => one.topic === `takeline/${SITE_ID}/out/enamel/event`);
    expect(JSON.parse(event?.payload ?? '{}')).toMatchObject({
      conveyor: 'enamel',
      detail: { signal: 'enamel/furnace/temperature', change: 'raised' },
    });
    const place = { conveyor: 'enamel', alarm: 'signal-lost', signal: 'enamel/furnace/temperature' };
    expect(await ear.ask('acknowledge', place)).toMatchObject({ ok: true });
    expect(ear.on(topic).at(-1)).toMatchObject({ state: 'acknowledged' });
  });

  it('is not lost for its clock being slow: silence is counted on the time that the sensors keep', async () => {
    for (let second = 0; second < 5; second++) {
      clock.ms = BEGIN_MS + (90 + second) * SECOND;
      await ear.readBoth('enamel/tu1', BEGIN_MS + second * SECOND, BEGIN_MS + second * SECOND + 1, 100);
      await until(() => expect(running.agent.readingCount).toBe(2 * second + 2));
    }
    // A tick, and a request, by which time passes too.
    await until(() => expect(ear.now('enamel', 'tu1')).toMatchObject({ time: '2026-02-02T06:00:04Z', positionMm: 100 }));
    expect(await ear.ask('acknowledge', STROKE_END)).toMatchObject({ ok: false });
    expect(ear.now('enamel', 'tu1')?.alarms).toEqual([]);
    clock.ms = BEGIN_MS + (90 + 34) * SECOND;
    await until(() => expect(ear.alarm('enamel', 'tu1', 'signal-lost')).toMatchObject({ since: '2026-02-02T06:00:34Z' }));
  });

  it('and was never heard is unknown as never read, and is missed as well', async () => {
    await ear.read('enamel/tu1/left/position', BEGIN_MS, 60);
    await until(() => expect(running.agent.readingCount).toBe(1));
    expect(ear.now('enamel', 'tu1')?.right.positionMm).toEqual({ unknown: 'never-read' });
    clock.ms = BEGIN_MS + 31 * SECOND;
    await until(() =>
      expect(ear.now('enamel', 'tu1')?.alarms).toMatchObject([
        { alarm: 'signal-lost', side: 'left' },
        { alarm: 'signal-lost', side: 'right' },
      ]),
    );
    expect(ear.now('enamel', 'tu1')?.right.positionMm).toEqual({ unknown: 'never-read' });
  });
});

describe('a request that cannot be', () => {
  it.each<readonly [verb: string, body: Readonly<Record<string, unknown>>, answer: RegExp]>([
    ['acknowledge', { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' }, /^no such alarm waits to be acknowledged/],
    ['acknowledge', { conveyor: 'enamelled', takeup: 'tu1', alarm: 'stroke-end' }, /^there is no conveyor enamelled$/],
    ['acknowledge', {}, /^there is no conveyor \(none named\)$/],
    ['acknowledge', { conveyor: 'enamel', takeup: 'tu1' }, /^alarm must name the alarm/],
    ['dance', {}, /^the agent does not know how to dance/],
    ['acknowledge', { by: ' ' }, /^by must say who asks$/],
  ])('%s %o is answered with a sentence', async (verb, body, answer) => {
    expect(await ear.ask(verb, body)).toMatchObject({ ok: false, message: expect.stringMatching(answer) as string });
  });

  it('or has no name that could be a topic, is not answered and disturbs nothing', async () => {
    for (const payload of ['', '[]', '{}', '{"request": "a/b#"}', '{"request": 7, "by": "Kari"}', '{"request']) {
      await ear.client.publishAsync(`takeline/${SITE_ID}/do/acknowledge`, payload, { qos: 1 });
    }
    expect(await ear.ask('acknowledge', STROKE_END)).toMatchObject({ ok: false });
    expect(ear.heard.filter(({ topic }) => topic.startsWith(answerTopic(SITE_ID, 'x').slice(0, -1)))).toHaveLength(1);
    expect(running.said.filter((line) => line.startsWith('a request to acknowledge was refused'))).toHaveLength(6);
  });
});
