import type { Socket } from 'node:net';
import type { MqttClient } from 'mqtt';
import { describe, expect, it } from 'vitest';
import { agentStatusTopic, alarmTopic, eventTopic, inFilter, inTopic, nowTopic, outFilter } from '../../agent/contract/topics.js';
import { type TestBroker, gather, signIn, startBroker } from './broker-client.js';

const SITE = 'alder-point';

describe('messages sent together', () => {
  it('all arrive, retained or not, acknowledged or not', async () => {
    const broker = await startBroker();
    const web = await signIn(broker, 'web');
    const received = gather(web);
    await web.subscribeAsync(outFilter(SITE), { qos: 1 });
    const agent = await signIn(broker, 'agent');
    const topics = [nowTopic(SITE, 'enamel', 'tu1'), eventTopic(SITE, 'enamel', 'tu1'), alarmTopic(SITE, 'enamel', 'tu1', 'stroke-low')];
    agent.stream.cork();
    let count = 0;
    const sent: Promise<unknown>[] = [];
    for (const topic of topics) {
      for (const retain of [true, false]) {
        for (const qos of [1, 0] as const) sent.push(agent.publishAsync(topic, String(count++), { qos, retain }));
      }
    }
    agent.stream.uncork();
    await Promise.all(sent);
    expect(new Set(await received.first(count))).toEqual(new Set(Array.from({ length: count }, (_, index) => String(index))));
  });

  it('arrive in order at an agent that keeps its session, at any pace of its acknowledgements', async () => {
    const broker = await startBroker();
    let handled = 0;
    const agent = await signIn(broker, 'agent', {
      clientId: 'edge-1',
      clean: false,
      onClient: (client) => {
        // Every hundredth message takes longer than the broker gathers its writes: some queue entries are on disk, some still in memory.
        client.handleMessage = (_packet, done) => {
          handled++;
          if (handled % 100 === 0) setTimeout(done, 80);
          else done();
        };
      },
    });
    const received = gather(agent);
    await agent.subscribeAsync(inFilter(SITE), { qos: 1 });
    const sensor = await signIn(broker, 'sensor');
    const all = Array.from({ length: 1000 }, (_, index) => String(index));
    await Promise.all(all.map((text) => sensor.publishAsync(inTopic(SITE, 'enamel/tu1/left/position'), text, { qos: 1 })));
    expect(await received.first(all.length)).toEqual(all);
  });

  it('arrive once each where both sides ask for that (QoS 2)', async () => {
    const broker = await startBroker();
    const agent = await signIn(broker, 'agent', { clientId: 'edge-1', clean: false });
    const received = gather(agent);
    await agent.subscribeAsync(inFilter(SITE), { qos: 2 });
    const sensor = await signIn(broker, 'sensor');
    const all = Array.from({ length: 20 }, (_, index) => String(index));
    for (const text of all) await sensor.publishAsync(inTopic(SITE, 'enamel/running'), text, { qos: 2 });
    expect(await received.first(all.length)).toEqual(all);
  });
});

describe('a subscriber that takes nothing', () => {
  const picture = Buffer.alloc(30_000, 'x');

  /** A screen that has subscribed and then gone to sleep. */
  async function asleep(broker: TestBroker): Promise<MqttClient> {
    const web = await signIn(broker, 'web', { clientId: 'asleep' });
    await web.subscribeAsync([inFilter(SITE), outFilter(SITE)], { qos: 1 });
    (web.stream as Socket).pause();
    return web;
  }

  it.each([
    { qos: 0, what: 'misses some' },
    { qos: 1, what: 'is cut off' },
  ] as const)('holds up nobody else: with QoS $qos it $what', async ({ qos }) => {
    const broker = await startBroker({ limits: { maxUnsentBytes: 1_000_000 } });
    const sleeper = await asleep(broker);
    const agent = await signIn(broker, 'agent');
    const received = gather(agent);
    await agent.subscribeAsync(inFilter(SITE), { qos: 1 });
    const sensor = await signIn(broker, 'sensor');
    const topic = inTopic(SITE, 'enamel/running');
    for (let count = 0; count < 600; count++) await sensor.publishAsync(topic, picture, { qos });
    expect(await received.first(600)).toHaveLength(600);
    const cutOff = broker.said.filter((line) => line.startsWith('web/asleep was cut off: does not take its messages'));
    expect(cutOff).toHaveLength(qos);
    (sleeper.stream as Socket).resume();
  });

  it('gets all retained messages, however many, when it wakes up', async () => {
    const broker = await startBroker({ limits: { maxUnsentBytes: 1_000_000 } });
    const agent = await signIn(broker, 'agent');
    const takeups = Array.from({ length: 300 }, (_, index) => `tu${String(index)}`);
    for (const takeup of takeups) await agent.publishAsync(nowTopic(SITE, 'enamel', takeup), picture, { qos: 1, retain: true });
    const web = await signIn(broker, 'web');
    const received = gather(web);
    await web.subscribeAsync(outFilter(SITE), { qos: 1 });
    (web.stream as Socket).pause();
    await agent.publishAsync(agentStatusTopic(SITE, 'edge-1'), 'running', { qos: 1 });
    (web.stream as Socket).resume();
    expect(await received.first(takeups.length)).toHaveLength(takeups.length);
  });
});
