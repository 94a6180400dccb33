import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Mosquitto, startMosquitto } from './mosquitto.js';

describe('the foreign broker of the tests', () => {
  let mosquitto: Mosquitto;
  beforeAll(async () => {
    mosquitto = await startMosquitto();
  });
  afterAll(() => mosquitto.stop());

  it('keeps a retained message for whoever comes later', async () => {
    const sender = await mqtt.connectAsync(mosquitto.url);
    await sender.publishAsync('takeline/alder-point/in/enamel/running', '1', { qos: 1, retain: true });
    await sender.endAsync();

    const receiver = await mqtt.connectAsync(mosquitto.url);
    const received = new Promise((resolve) => receiver.on('message', (topic, payload) => resolve([topic, payload.toString()])));
    await receiver.subscribeAsync('takeline/#', { qos: 1 });
    expect(await received).toEqual(['takeline/alder-point/in/enamel/running', '1']);
    await receiver.endAsync();
  });
});
