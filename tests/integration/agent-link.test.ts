import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { BrokerLink, type BrokerLinkOptions, type Incoming } from '../../agent/io/broker-link.js';
import { until } from './agent-plant.js';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

let mosquitto: Mosquitto;
beforeAll(async () => {
  mosquitto = await startMosquitto(['set_tcp_nodelay true']);
});
afterAll(() => mosquitto.stop());

function makeLink(clientId: string, take: BrokerLinkOptions['take'], onState?: BrokerLinkOptions['onState']): BrokerLink {
  const topics = [`tests/${clientId}`];
  const link = new BrokerLink({ url: mosquitto.url, clientId, keepSession: true, topics, take, ...(onState ? { onState } : {}) });
  onTestFinished(() => link.stop());
  return link;
}

async function publish(clientId: string, ...payloads: readonly string[]): Promise<void> {
  const client = await mqtt.connectAsync(mosquitto.url);
  for (const payload of payloads) await client.publishAsync(`tests/${clientId}`, payload, { qos: 1 });
  await client.endAsync();
}

describe('a link to a broker', () => {
  it('takes what waited for it from the very first message on', async () => {
    const first = makeLink('waits', () => undefined);
    await first.start();
    await first.stop();
    const payloads = Array.from({ length: 15 }, (_, index) => String(index));
    await publish('waits', ...payloads);
    const taken: string[] = [];
    const link = makeLink('waits', ({ payload }) => {
      taken.push(payload);
      return undefined;
    });
    await link.start();
    await until(() => expect(taken).toHaveLength(15));
    expect(taken).toEqual(payloads);
  });

  it('does not acknowledge what could not be taken, goes on with what comes after, and gets it again when it connects anew', async () => {
    const taken: Incoming[] = [];
    const states: boolean[] = [];
    let well = false;
    const link = makeLink(
      'fails',
      (message) => {
        taken.push(message);
        return well ? Promise.resolve() : Promise.reject(new Error('the disk is full'));
      },
      (connected) => states.push(connected),
    );
    await link.start();
    await publish('fails', 'first', 'second');
    await until(() => expect(taken.map(({ payload }) => payload)).toEqual(['first', 'second']));
    well = true;
    link.renew();
    await until(() => expect(taken.map(({ payload }) => payload)).toEqual(['first', 'second', 'first', 'second']));
    expect(taken.every(({ acknowledged, retained }) => acknowledged && !retained)).toBe(true);
    expect(states).toEqual([true, false, true]);
  });

  it('sends what was published before it began, when it has', async () => {
    const taken: string[] = [];
    const listener = makeLink('early', ({ payload }) => {
      taken.push(payload);
      return undefined;
    });
    await listener.start();
    const link = makeLink('speaks', () => undefined);
    link.publish('tests/early', 'first', false);
    link.publish('tests/early', 'second', false);
    await link.start();
    await until(() => expect(taken).toEqual(['first', 'second']));
  });

  it('ends within its patience where the broker has stopped answering', async () => {
    const frozen = await startMosquitto();
    onTestFinished(() => frozen.kill());
    const link = new BrokerLink({ url: frozen.url, clientId: 'patient', keepSession: true, topics: [], take: () => undefined });
    await link.start();
    frozen.freeze();
    link.publish('tests/patient', 'never taken', false);
    const begun = performance.now();
    await link.stop();
    expect(performance.now() - begun).toBeLessThan(1500);
  });
});
