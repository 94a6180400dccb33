import { describe, expect, it } from 'vitest';
import { agentStatusTopic, alarmTopic, inFilter, inTopic, outFilter, requestFilter, requestTopic } from '../../agent/contract/topics.js';
import { type Gathered, dataFolder, gather, signIn, startBroker, type TestBroker } from './broker-client.js';

const SITE = 'alder-point';
const READING = inTopic(SITE, 'enamel/tu1/left/position');
const ALARM = alarmTopic(SITE, 'enamel', 'tu1', 'spring-solid');

/** The agent's session comes back; gives what it gets. */
async function agentBack(broker: TestBroker): Promise<Gathered> {
  let received: Gathered | undefined;
  await signIn(broker, 'agent', { clientId: 'edge-1', clean: false, onClient: (client) => (received = gather(client)) });
  return received!;
}

async function agentAway(broker: TestBroker): Promise<void> {
  const agent = await signIn(broker, 'agent', { clientId: 'edge-1', clean: false });
  await agent.subscribeAsync([inFilter(SITE), requestFilter(SITE)], { qos: 1 });
  await agent.endAsync();
}

async function publish(broker: TestBroker, from: number, to: number): Promise<void> {
  const sensor = await signIn(broker, 'sensor');
  for (let number = from; number < to; number++) await sensor.publishAsync(READING, String(number), { qos: 1 });
  await sensor.endAsync();
}

const numbers = (from: number, to: number) => Array.from({ length: to - from }, (_, index) => String(from + index));

describe('a broker that was stopped and started again', () => {
  it('still has the retained messages', async () => {
    const first = await startBroker();
    const agent = await signIn(first, 'agent');
    await agent.publishAsync(ALARM, 'raised', { qos: 1, retain: true });
    await first.stop();

    const second = await startBroker({ dataDir: first.dataDir });
    const web = await signIn(second, 'web');
    const received = gather(web);
    await web.subscribeAsync(outFilter(SITE), { qos: 1 });
    expect(await received.first(1)).toEqual(['raised']);
  });

  it('forgets a retained message that was taken back', async () => {
    const first = await startBroker();
    const agent = await signIn(first, 'agent');
    await agent.publishAsync(ALARM, 'raised', { qos: 1, retain: true });
    await agent.publishAsync(ALARM, '', { qos: 1, retain: true });
    await first.stop();

    const second = await startBroker({ dataDir: first.dataDir });
    const web = await signIn(second, 'web');
    const received = gather(web);
    await web.subscribeAsync(outFilter(SITE), { qos: 1 });
    await (await signIn(second, 'agent')).publishAsync(ALARM, 'raised again', { qos: 1 });
    expect(await received.first(1)).toEqual(['raised again']);
  });

  it('delivers what was queued for an absent agent, in the order in which it was sent, over several starts', async () => {
    const dataDir = dataFolder();
    let broker = await startBroker({ dataDir });
    await agentAway(broker);
    for (let start = 0; start < 3; start++) {
      await publish(broker, start * 20, start * 20 + 20);
      await broker.stop();
      broker = await startBroker({ dataDir });
    }
    const received = await agentBack(broker);
    expect(await received.first(60)).toEqual(numbers(0, 60));
  });

  it('keeps the passwords', async () => {
    const first = await startBroker();
    await first.stop();
    const second = await startBroker({ dataDir: first.dataDir });
    expect((await signIn(second, 'web')).connected).toBe(true);
  });

  it('publishes the will of an agent that it cut off by stopping', async () => {
    const first = await startBroker();
    const will = { topic: agentStatusTopic(SITE, 'edge-1'), payload: Buffer.from('gone'), qos: 1 as const, retain: true };
    await signIn(first, 'agent', { will });
    await first.stop();
    const second = await startBroker({ dataDir: first.dataDir });
    const web = await signIn(second, 'web');
    const received = gather(web);
    await web.subscribeAsync('takeline/+/agent/+/status', { qos: 1 });
    expect(await received.first(1)).toEqual(['gone']);
  });
});

describe('an agent that comes back', () => {
  it('gets what waited for it before what comes in meanwhile, and all of it', async () => {
    const broker = await startBroker();
    await agentAway(broker);
    await publish(broker, 0, 2000);
    const sensor = await signIn(broker, 'sensor');
    const sent: Promise<unknown>[] = [];
    const sendMore = () => {
      for (let index = 0; index < 20; index++) sent.push(sensor.publishAsync(READING, String(2000 + sent.length), { qos: 1 }));
    };
    let received: Gathered | undefined;
    await signIn(broker, 'agent', {
      clientId: 'edge-1',
      clean: false,
      onClient: (client) => {
        received = gather(client);
        sendMore();
        client.on('message', () => {
          if (sent.length < 1000) sendMore();
        });
      },
    });
    await received!.first(2000 + 1000);
    await Promise.all(sent);
    const inOrder = [...new Set(received!.texts)];
    expect(inOrder).toEqual(numbers(0, 3000));
  });

  it('is not queued for without end', async () => {
    const broker = await startBroker({ limits: { maxQueuedMessages: 50 } });
    await agentAway(broker);
    await publish(broker, 0, 60);
    const web = await signIn(broker, 'web');
    await web.publishAsync(requestTopic(SITE, 'acknowledge'), 'request', { qos: 1 });
    expect(broker.said).toEqual(['50 messages wait for agent/edge-1: those that follow are not kept for it']);
    const received = await agentBack(broker);
    expect(await received.first(50)).toEqual(numbers(0, 50));
    await publish(broker, 60, 62);
    expect(await received.first(52)).toEqual([...numbers(0, 50), ...numbers(60, 62)]);
  });
});
