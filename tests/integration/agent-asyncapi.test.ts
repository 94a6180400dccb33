import { afterAll, beforeAll, expect, it } from 'vitest';
import { inTopic } from '../../agent/contract/topics.js';
import { channelOf, faultsOn } from '../contract/asyncapi-schemas.js';
import { Ear, HandClock, startAgent, until } from './agent-plant.js';
import { BEGIN_MS, SITE_ID } from './agent-site.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

const SECOND = 1000;
const TEMPERATURE = 'enamel/furnace/temperature';

let mosquitto: Mosquitto;
beforeAll(async () => {
  mosquitto = await startMosquitto(['set_tcp_nodelay true']);
});
afterAll(() => mosquitto.stop());

it('every message that goes over the wire is one of the AsyncAPI document, with no key besides', async () => {
  const clock = new HandClock();
  const ear = await Ear.afresh(mosquitto.url);
  const { agent } = await startAgent({ url: mosquitto.url, clock });
  const passTo = (second: number): void => {
    clock.ms = BEGIN_MS + second * SECOND;
  };
  const at = (second: number): string => new Date(BEGIN_MS + second * SECOND).toISOString();

  // The carriage stands, jumps 20 mm, and says so; somebody knows better.
  await ear.client.publishAsync(inTopic(SITE_ID, TEMPERATURE), '180', { qos: 1 });
  await ear.client.publishAsync('plant/enamel/tu2', JSON.stringify({ at: at(0), travel: [61.5, 62.5] }), { qos: 1 });
  await ear.readBoth('enamel/tu1', BEGIN_MS, BEGIN_MS + 120 * SECOND, 180);
  passTo(120);
  await ear.readBoth('enamel/tu1', BEGIN_MS + 120 * SECOND, BEGIN_MS + 200 * SECOND, 200);
  passTo(200);
  await until(() => expect(ear.events().map(({ event }) => event)).toContain('finding'));
  const finding = ear.events().find(({ event }) => event === 'finding');
  expect(await ear.ask('reject-finding', { conveyor: 'enamel', finding: finding?.id })).toMatchObject({
    message: expect.any(String) as string,
  });

  // It goes to its end: an alarm that is acknowledged and cleared.
  await ear.readBoth('enamel/tu1', BEGIN_MS + 200 * SECOND, BEGIN_MS + 240 * SECOND, 225);
  await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('unacknowledged'));
  const stop = { conveyor: 'enamel', takeup: 'tu1', alarm: 'stroke-end' };
  expect(await ear.ask('acknowledge', stop)).toMatchObject({ ok: true });
  expect(await ear.ask('acknowledge', stop)).toMatchObject({ ok: false });
  await ear.readBoth('enamel/tu1', BEGIN_MS + 240 * SECOND, BEGIN_MS + 260 * SECOND, 190);
  await until(() => expect(ear.alarm('enamel', 'tu1', 'stroke-end')?.state).toBe('normal'));

  // A sensor fails, others fall silent and come back.
  await ear.readBoth('dryer/tu1', BEGIN_MS + 255 * SECOND, BEGIN_MS + 260 * SECOND, 12, 3);
  passTo(300);
  await until(() => expect(ear.alarm('enamel', 'tu1', 'signal-lost')).toBeDefined());
  for (const second of [300, 301, 302]) await ear.read(TEMPERATURE, BEGIN_MS + second * SECOND, second);
  await until(() => expect(ear.heard.map(({ topic }) => channelOf(topic))).toContain('temperatureAlarm'));

  // Work is entered, corrected, and cannot be.
  const side = { conveyor: 'enamel', takeup: 'tu1', side: 'left' };
  const work = [
    { conveyor: 'enamel', takeup: 'tu1', kind: 'service-opened' },
    { conveyor: 'enamel', kind: 'chain-removed', pitches: 40, carriers: 5, id: 'monday' },
    { ...side, kind: 'nut-turned', turns: 2 },
    { ...side, kind: 'sensor-rezeroed', position_mm: 60 },
    { conveyor: 'enamel', kind: 'inspected', rock: 'ok', restraint_nuts: 'out', noise: 'a squeal' },
    { kind: 'correction', replaces: 'monday', pitches: 42 },
    { conveyor: 'enamel', kind: 'chain-removed', pitches: 3200 },
    { conveyor: 'enamel', takeup: 'tu1', kind: 'service-closed' },
  ];
  const answers = [];
  for (const entry of work) answers.push((await ear.ask('service-entry', { entry: { time: at(290), ...entry } })).ok);
  expect(answers).toEqual([true, true, true, true, true, true, false, true]);
  await until(() => expect(ear.now('enamel', 'tu1')?.chain.pitches).toBe(3158));
  await agent.stop();
  await until(() =>
    expect(ear.heard.some(({ topic, payload }) => channelOf(topic) === 'status' && payload.includes('"running":false'))).toBe(true),
  );

  const sent = ear.heard.filter(({ topic }) => topic.startsWith('takeline/'));
  expect(sent.flatMap(({ topic, payload }) => faultsOn(topic, payload))).toEqual([]);
  const channels = new Set(sent.map(({ topic }) => channelOf(topic)));
  expect([...channels].sort()).toEqual([
    ...['acknowledge', 'alarm', 'answer', 'conveyorEvent', 'event', 'now', 'position', 'rejectFinding', 'serviceEntry', 'status'],
    ...['temperature', 'temperatureAlarm'],
  ]);
});
