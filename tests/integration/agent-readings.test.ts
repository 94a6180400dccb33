import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { TakeupNow } from '../../agent/contract/messages.js';
import { inTopic, nowTopic } from '../../agent/contract/topics.js';
import { WALL_CLOCK } from '../../agent/process/clock.js';
import { Ear, HandClock, startAgent, type TestAgent, until } from './agent-plant.js';
import { BEGIN_MS, SITE_ID } from './agent-site.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

const LEFT = 'enamel/tu1/left/position';
const RIGHT = 'enamel/tu1/right/position';

let mosquitto: Mosquitto;
beforeAll(async () => {
  mosquitto = await startMosquitto(['set_tcp_nodelay true']);
});
afterAll(() => mosquitto.stop());

describe('a reading that comes in', () => {
  let clock: HandClock;
  let ear: Ear;
  let running: TestAgent;
  beforeEach(async () => {
    clock = new HandClock();
    ear = await Ear.afresh(mosquitto.url);
    running = await startAgent({ url: mosquitto.url, clock });
  });

  /** So many readings as the spike filter needs to judge the first of them. */
  const four = [0, 1, 2, 3];

  it('as a bare number moves the picture of its take-up within a second', async () => {
    for (const second of four) {
      clock.ms = BEGIN_MS + second * 1000;
      await ear.client.publishAsync(inTopic(SITE_ID, LEFT), '61.5', { qos: 1 });
      await ear.client.publishAsync(inTopic(SITE_ID, RIGHT), ' 6.25e1 ', { qos: 1 });
      await until(() => expect(running.agent.readingCount).toBe(2 * second + 2));
    }
    const sentMs = performance.now();
    await until(() => expect(ear.now('enamel', 'tu1')).toMatchObject({ positionMm: 62, remainingMm: 168, skewMm: -1, running: true }));
    expect(performance.now() - sentMs).toBeLessThan(1000);
    expect(ear.now('enamel', 'tu1')?.left).toMatchObject({ positionMm: 61.5, positionAt: '2026-02-02T06:00:03Z', springMm: 271.5 });
  });

  it('with its own time counts from that time', async () => {
    clock.ms = BEGIN_MS + 20_000;
    await ear.client.publishAsync(inTopic(SITE_ID, LEFT), JSON.stringify({ value: 61, time: '2026-02-02T07:00:05+01:00' }), { qos: 0 });
    await ear.client.publishAsync(inTopic(SITE_ID, RIGHT), JSON.stringify({ value: true, time: BEGIN_MS + 6000 }), { qos: 1 });
    await until(() => expect(ear.now('enamel', 'tu1')?.right.positionAt).toBe('2026-02-02T06:00:06Z'));
    expect(ear.now('enamel', 'tu1')?.left.positionAt).toBe('2026-02-02T06:00:05Z');
  });

  it('in a payload with others goes where the pointers of the site file say', async () => {
    for (const second of four) {
      const payload = { at: new Date(BEGIN_MS + second * 1000).toISOString(), travel: [80, 90 + second / 10], other: 'kept out' };
      await ear.client.publishAsync('plant/enamel/tu2', JSON.stringify(payload), { qos: 1 });
    }
    await until(() =>
      expect(ear.now('enamel', 'tu2')).toMatchObject({ positionMm: 85, left: { positionMm: 80 }, right: { positionMm: 90 } }),
    );
    expect(ear.now('enamel', 'tu1')?.positionMm).toEqual({ unknown: 'never-read' });
  });

  it('as a current is scaled; below 3.6 mA it is a fault of the loop and makes the side unknown', async () => {
    for (const second of four) await ear.readBoth('dryer/tu1', BEGIN_MS + second * 1000, BEGIN_MS + second * 1000 + 1, 12, 16);
    await until(() => expect(ear.now('dryer', 'tu1')).toMatchObject({ left: { positionMm: 120 }, right: { positionMm: 180 } }));
    for (const second of [4, 5, 6]) await ear.read('dryer/tu1/left/position', BEGIN_MS + second * 1000, 3.5);
    await until(() => expect(ear.now('dryer', 'tu1')?.left.positionMm).toEqual({ unknown: 'signal-fault' }));
    expect(ear.now('dryer', 'tu1')).toMatchObject({
      positionMm: { unknown: 'signal-fault' },
      right: { positionMm: 180 },
      alarms: [{ alarm: 'signal-fault', side: 'left', state: 'unacknowledged', value: 3.5, unit: 'mA' }],
    });
  });
});

describe('pictures', () => {
  it('go out at most twice a second however fast readings come, are retained, and stand still with the carriage', async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const { agent } = await startAgent({ url: mosquitto.url, clock: WALL_CLOCK });
    const topic = nowTopic(SITE_ID, 'enamel', 'tu1');
    const begun = performance.now();
    for (let count = 0; performance.now() - begun < 2200; count++) {
      await ear.client.publishAsync(inTopic(SITE_ID, LEFT), String(60 + count / 100), { qos: 1 });
      await ear.client.publishAsync(inTopic(SITE_ID, RIGHT), String(60 + count / 100), { qos: 1 });
    }
    const times = ear.heard.filter((one) => one.topic === topic && !one.retained).map(({ atMs }) => atMs);
    expect(times.length).toBeGreaterThanOrEqual(3);
    // Three pictures span two intervals of half a second; the machine's own hesitations are let pass.
    for (const [index, atMs] of times.slice(2).entries()) expect(atMs - times[index]!).toBeGreaterThan(850);
    expect(agent.readingCount).toBeGreaterThan(100);

    const later = await Ear.at(mosquitto.url);
    await until(() => expect(later.heard.find((one) => one.topic === topic)).toMatchObject({ retained: true }));
    expect((later.now('enamel', 'tu1') as TakeupNow).positionMm).toBeGreaterThan(59);
  });
});

describe('what is no reading', () => {
  const foreign: readonly (readonly [topic: string, payload: string | Buffer])[] = [
    [inTopic(SITE_ID, LEFT), ''],
    [inTopic(SITE_ID, LEFT), 'twelve'],
    [inTopic(SITE_ID, LEFT), '0x1F'],
    [inTopic(SITE_ID, LEFT), 'NaN'],
    [inTopic(SITE_ID, LEFT), '1e999'],
    [inTopic(SITE_ID, LEFT), Buffer.from([0xff, 0xfe, 0x00, 0x80])],
    [inTopic(SITE_ID, LEFT), '{"value": {"value": 3}}'],
    [inTopic(SITE_ID, LEFT), '{"value": 50, "time": "yesterday"}'],
    [inTopic(SITE_ID, LEFT), '{"value": 50, "time": 1e300}'],
    [inTopic(SITE_ID, LEFT), '[50]'],
    [inTopic(SITE_ID, LEFT), '{"__proto__": {"value": 50}}'],
    [inTopic(SITE_ID, LEFT), '{"value": 50'.repeat(5000)],
    [inTopic(SITE_ID, LEFT), '['.repeat(60_000)],
    ['plant/enamel/tu2', '{"travel": [50, 60]}'],
    ['plant/enamel/tu2', '42'],
  ];

  it('is counted with its reason in the status, and reaches no figure', async () => {
    const clock = new HandClock();
    const ear = await Ear.afresh(mosquitto.url);
    const { agent, id, said } = await startAgent({ url: mosquitto.url, clock });
    await ear.readBoth('enamel/tu1', BEGIN_MS, BEGIN_MS + 8000, 70);
    await until(() => expect(ear.now('enamel', 'tu1')?.positionMm).toBe(70));
    for (const [index, [topic, payload]] of foreign.entries()) {
      // A moment of its own for each, or the second would repeat the first.
      clock.ms = BEGIN_MS + 8000 + index;
      const before = agent.readingCount;
      await ear.client.publishAsync(topic, payload, { qos: 1 });
      await until(() => expect(agent.readingCount).toBeGreaterThan(before));
    }
    clock.ms = BEGIN_MS + 9000;
    await ear.read(LEFT, BEGIN_MS + 9000 + 301_000, 70);
    await ear.read(LEFT, BEGIN_MS + 2500, 99);
    await ear.read('enamel/furnace/temperature', BEGIN_MS + 9000, 'hot');
    await until(() => expect(agent.readingCount).toBe(16 + foreign.length + 2 + 3));
    expect(ear.now('enamel', 'tu1')?.right.positionMm).toBe(70);
    expect(ear.now('enamel', 'tu1')?.left.positionMm).not.toBe(50);
    expect(ear.now('enamel', 'tu2')?.positionMm).toEqual({ unknown: 'never-read' });

    await agent.stop();
    await until(() => expect(ear.status(id)?.running).toBe(false));
    expect(ear.status(id)).toMatchObject({ readings: 36, rejected: { unparsable: 18, ahead: 1, late: 1 } });
    expect(said.filter((line) => line.startsWith(`${LEFT}: a payload was not used`))).toHaveLength(1);
  });

  it('outside what the sensor can say is counted, and after three in a row its side is unknown', async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const { agent, id } = await startAgent({ url: mosquitto.url, clock: new HandClock() });
    await ear.readBoth('dryer/tu1', BEGIN_MS, BEGIN_MS + 4000, 12);
    for (const second of [4, 5]) await ear.read('dryer/tu1/left/position', BEGIN_MS + second * 1000, 22);
    await until(() => expect(agent.readingCount).toBe(10));
    await until(() => expect(ear.now('dryer', 'tu1')?.left.positionMm).toBe(120));
    await ear.read('dryer/tu1/left/position', BEGIN_MS + 6000, 22);
    await until(() => expect(ear.now('dryer', 'tu1')?.left.positionMm).toEqual({ unknown: 'signal-fault' }));
    await agent.stop();
    await until(() => expect(ear.status(id)?.rejected).toEqual({ 'out-of-range': 3 }));
  });

  it('kept by the broker from who knows when, without a time of its own, is not taken for the present', async () => {
    const ear = await Ear.afresh(mosquitto.url);
    const topics = [inTopic(SITE_ID, LEFT), inTopic(SITE_ID, RIGHT)] as const;
    await ear.client.publishAsync(topics[0], '61.5', { qos: 1, retain: true });
    await ear.client.publishAsync(topics[1], JSON.stringify({ value: 61.5, time: BEGIN_MS - 3000 }), { qos: 1, retain: true });
    const { agent, said } = await startAgent({ url: mosquitto.url, clock: new HandClock() });
    await until(() => expect(agent.readingCount).toBe(2));
    await until(() => expect(ear.now('enamel', 'tu1')?.right.positionAt).toBe('2026-02-02T05:59:57Z'));
    expect(ear.now('enamel', 'tu1')?.left.positionAt).toBeUndefined();
    expect(said.join('\n')).toContain('publish readings without retain');
    for (const topic of topics) await ear.client.publishAsync(topic, '', { qos: 1, retain: true });
  });
});
