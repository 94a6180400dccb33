import type { MqttClient } from 'mqtt';
import { describe, expect, it } from 'vitest';
import { agentStatusTopic, inFilter, inTopic, nowTopic, outFilter, requestFilter, requestTopic } from '../../agent/contract/topics.js';
import { type Gathered, closing, gather, signIn, signInWith, startBroker } from './broker-client.js';

const SITE = 'alder-point';
const READING = inTopic(SITE, 'enamel/tu1/left/position');
const NOW = nowTopic(SITE, 'enamel', 'tu1');
const REFUSED = 0x80;

/** What the broker grants for each filter. */
function granted(client: MqttClient, filters: readonly string[]): Promise<readonly number[]> {
  return new Promise((resolve) => {
    client.once('packetreceive', (packet) => resolve(packet.cmd === 'suback' ? (packet.granted as number[]) : []));
    client.subscribe([...filters], { qos: 1 }, () => undefined);
  });
}

describe('who may sign in', () => {
  it('is who has the password of a role', async () => {
    const broker = await startBroker();
    await expect(signIn(broker, 'sensor', { clientId: 'press-7', password: 'guessed' })).rejects.toThrow(/Bad username or password/i);
    await expect(signIn(broker, 'sensor', { clientId: 'press-7', username: 'root' })).rejects.toThrow(/Bad username or password/i);
    await expect(signInWith(`mqtt://127.0.0.1:${broker.tcpPort}`, {})).rejects.toThrow(/Not authorized/i);
    expect((await signIn(broker, 'sensor', { clientId: 'press-7' })).connected).toBe(true);
    expect(broker.said[0]).toBe('sensor/press-7 was cut off: wrong user name or password');
  });
});

describe('what the broker lets a role do', () => {
  it('carries a reading from sensor to agent, a picture from agent to web, a request from web to agent', async () => {
    const broker = await startBroker({ scope: { siteId: SITE, signalTopics: ['plant/furnace/zone-3'] } });
    const [sensor, agent, web] = await Promise.all([signIn(broker, 'sensor'), signIn(broker, 'agent'), signIn(broker, 'web')]);
    const toAgent = gather(agent);
    const toWeb = gather(web);
    expect(await granted(agent, [inFilter(SITE), requestFilter(SITE), 'plant/furnace/zone-3'])).toEqual([1, 1, 1]);
    expect(await granted(web, [outFilter(SITE), 'takeline/alder-point/agent/+/status'])).toEqual([1, 1]);

    await sensor.publishAsync(READING, 'reading', { qos: 1 });
    expect(await toAgent.first(1)).toEqual(['reading']);
    await sensor.publishAsync('plant/furnace/zone-3', 'zone', { qos: 1 });
    expect(await toAgent.first(2)).toEqual(['reading', 'zone']);
    await agent.publishAsync(NOW, 'picture', { qos: 1, retain: true });
    expect(await toWeb.first(1)).toEqual(['picture']);
    await web.publishAsync(requestTopic(SITE, 'acknowledge'), 'request', { qos: 1 });
    expect(await toAgent.first(3)).toEqual(['reading', 'zone', 'request']);
  });

  it('closes on a forged picture, retained or not, delivers none of it and says who it was', async () => {
    const broker = await startBroker();
    const web = await signIn(broker, 'web');
    const received = gather(web);
    await web.subscribeAsync(outFilter(SITE), { qos: 1 });
    for (const retain of [false, true]) {
      const sensor = await signIn(broker, 'sensor', { clientId: 'press-7' });
      const closed = closing(sensor);
      sensor.publish(NOW, 'forged', { qos: 1, retain });
      await closed;
    }
    const agent = await signIn(broker, 'agent');
    await agent.publishAsync(NOW, 'true', { qos: 1, retain: true });
    expect(await received.first(1)).toEqual(['true']);
    expect(broker.said[0]).toBe(`sensor/press-7 was cut off: may not publish to ${NOW}`);
  });

  it('refuses a will that forges a status', async () => {
    const broker = await startBroker();
    const will = { topic: agentStatusTopic(SITE, 'edge-1'), payload: Buffer.from('{}'), qos: 1 as const, retain: true };
    await expect(signIn(broker, 'sensor', { will })).rejects.toThrow(/Not authorized/i);
  });

  it('publishes the will of an agent that goes without farewell', async () => {
    const broker = await startBroker();
    const web = await signIn(broker, 'web');
    const received = gather(web);
    await web.subscribeAsync('takeline/+/agent/+/status', { qos: 1 });
    const will = { topic: agentStatusTopic(SITE, 'edge-1'), payload: Buffer.from('gone'), qos: 1 as const, retain: true };
    const agent = await signIn(broker, 'agent', { will });
    agent.stream.destroy();
    expect(await received.first(1)).toEqual(['gone']);
  });

  it('answers a subscription that is not allowed with 0x80, and one beside it as if it were alone', async () => {
    const broker = await startBroker({ scope: { siteId: SITE, signalTopics: [] } });
    const agent = await signIn(broker, 'agent', { clientId: 'edge-1', clean: false });
    expect(await granted(agent, ['#', inFilter(SITE), outFilter(SITE)])).toEqual([REFUSED, 1, REFUSED]);
    const sensor = await signIn(broker, 'sensor');
    expect(await granted(sensor, [READING])).toEqual([REFUSED]);
  });

  it('lets an agent ask for every signal of a large site at once, and gives it the retained reading of each that has one', async () => {
    const broker = await startBroker();
    const topics = Array.from({ length: 3000 }, (_, index) => inTopic(SITE, `enamel/tu${String(index)}/left/position`));
    const sensor = await signIn(broker, 'sensor');
    for (const topic of topics.slice(0, 20)) await sensor.publishAsync(topic, topic, { qos: 1, retain: true });
    const agent = await signIn(broker, 'agent', { clientId: 'edge-1', clean: false });
    const received = gather(agent);
    expect(new Set(await granted(agent, topics))).toEqual(new Set([1]));
    expect(new Set(await received.first(20))).toEqual(new Set(topics.slice(0, 20)));
    await agent.endAsync();
    await sensor.publishAsync(topics[2999]!, 'queued', { qos: 1 });
    let later: Gathered | undefined;
    await signIn(broker, 'agent', { clientId: 'edge-1', clean: false, onClient: (client) => (later = gather(client)) });
    expect(await later!.first(1)).toEqual(['queued']);
  });

  it('does not queue for a kept session what its subscription was refused', async () => {
    const broker = await startBroker();
    const agent = await signIn(broker, 'agent', { clientId: 'edge-1', clean: false });
    await granted(agent, [outFilter(SITE), inFilter(SITE)]);
    await agent.endAsync();
    const other = await signIn(broker, 'agent', { clientId: 'edge-2' });
    await other.publishAsync(NOW, 'not for agents', { qos: 1 });
    const sensor = await signIn(broker, 'sensor');
    await sensor.publishAsync(READING, 'reading', { qos: 1 });
    let received: Gathered | undefined;
    await signIn(broker, 'agent', { clientId: 'edge-1', clean: false, onClient: (client) => (received = gather(client)) });
    expect(await received!.first(1)).toEqual(['reading']);
  });

  it('keeps the sessions of users apart: a sensor that calls itself like the agent neither throws it out nor gets its messages', async () => {
    const broker = await startBroker();
    const agent = await signIn(broker, 'agent', { clientId: 'edge-1', clean: false });
    await agent.subscribeAsync(inFilter(SITE), { qos: 1 });
    const impostor = await signIn(broker, 'sensor', { clientId: 'edge-1', clean: false });
    const received = gather(agent);
    await impostor.publishAsync(READING, 'reading', { qos: 1 });
    expect(await received.first(1)).toEqual(['reading']);
    expect([agent.connected, impostor.connected]).toEqual([true, true]);
  });
});
