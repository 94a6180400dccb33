import { once } from 'node:events';
import { describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { inTopic } from '../../agent/contract/topics.js';
import { signInOf } from '../../agent/process/secrets.js';
import { connectBytes, publishBytes } from '../broker/packets.js';
import { answerUntilClosed, closing, firstAnswer, gather, rawSocket, signIn, startBroker } from './broker-client.js';

const CONNACK = (returnCode: number) => Buffer.from([0x20, 0x02, 0x00, returnCode]);
const READING = inTopic('alder-point', 'enamel/tu1/left/position');

describe('the broker and MQTT 3.1.1', () => {
  it('refuses a client without id that wants its session kept ([MQTT-3.1.3-8])', async () => {
    const broker = await startBroker();
    const sensor = await signInOf(broker.dataDir, 'sensor');
    const connect = connectBytes({ clientId: '', clean: false, ...sensor });
    expect(await answerUntilClosed(await rawSocket(broker.tcpPort), connect)).toEqual(CONNACK(2));
  });

  it('gives a client without id one of its own where no session is to be kept ([MQTT-3.1.3-6])', async () => {
    const broker = await startBroker();
    const sensor = await signInOf(broker.dataDir, 'sensor');
    const connect = connectBytes({ clientId: '', clean: true, ...sensor });
    expect(await firstAnswer(await rawSocket(broker.tcpPort), connect)).toEqual(CONNACK(0));
  });

  it.each([5, 9])('answers protocol level %i with "unacceptable protocol level" ([MQTT-3.1.2-2])', async (level) => {
    const broker = await startBroker();
    expect(await answerUntilClosed(await rawSocket(broker.tcpPort), connectBytes({ clientId: 'press-7', level }))).toEqual(CONNACK(1));
    expect(broker.said).toEqual(['a client asked for a version of MQTT other than 3.1.1; not let in']);
  });

  it('tells a client library that speaks MQTT 5 what is the matter', async () => {
    const broker = await startBroker();
    await expect(signIn(broker, 'sensor', { protocolVersion: 5 })).rejects.toThrow(/Unacceptable protocol version/i);
  });

  it('lets MQTT 3.1 in', async () => {
    const broker = await startBroker();
    const client = await signIn(broker, 'sensor', { protocolId: 'MQIsdp', protocolVersion: 3, clientId: 'an-id-of-23-letters-abc' });
    expect(client.connected).toBe(true);
  });

  it('closes on a payload longer than 64 KiB, and takes one of 64 KiB', async () => {
    const broker = await startBroker();
    const agent = await signIn(broker, 'agent');
    const received = gather(agent);
    await agent.subscribeAsync('takeline/+/in/#', { qos: 1 });
    const sensor = await signIn(broker, 'sensor', { clientId: 'press-7' });
    await sensor.publishAsync(READING, Buffer.alloc(64 * 1024, '7'), { qos: 1 });
    expect((await received.first(1))[0]).toHaveLength(64 * 1024);
    const closed = closing(sensor);
    sensor.publish(READING, Buffer.alloc(64 * 1024 + 1));
    await closed;
    expect(broker.said).toEqual([`sensor/press-7 was cut off: sent 65537 bytes to ${READING}, more than 65536`]);
  });

  it('closes on the announcement of a long packet, without waiting for it', async () => {
    const broker = await startBroker();
    const sensor = await signInOf(broker.dataDir, 'sensor');
    const socket = await rawSocket(broker.tcpPort);
    await firstAnswer(socket, connectBytes({ clientId: 'press-7', ...sensor }));
    await answerUntilClosed(socket, Buffer.from([0x30, 0xff, 0xff, 0xff, 0x7f]));
    expect(broker.said).toEqual(['sensor/press-7 was cut off: sent a packet longer than is allowed']);
  });

  it('closes a connection on which no whole CONNECT comes in time', async () => {
    const broker = await startBroker({ limits: { connectTimeoutMs: 100 } });
    const half = connectBytes({ clientId: 'press-7' }).subarray(0, 9);
    expect(await answerUntilClosed(await rawSocket(broker.tcpPort), half)).toEqual(Buffer.alloc(0));
    expect(broker.said).toEqual(['a connection was cut off: connect did not arrive in time']);
  });

  it('closes on what is no MQTT, and on a first packet other than CONNECT ([MQTT-3.1.0-1])', async () => {
    const broker = await startBroker();
    const speaksHttp = await rawSocket(broker.tcpPort);
    expect(await answerUntilClosed(speaksHttp, Buffer.from('GET / HTTP/1.1\r\n\r\n'))).toEqual(Buffer.alloc(0));
    const hasty = await rawSocket(broker.tcpPort);
    expect(await answerUntilClosed(hasty, publishBytes(READING, Buffer.from('7')))).toEqual(Buffer.alloc(0));
  });

  it('tells a client too many that the server is unavailable, and lets the same client come again', async () => {
    const broker = await startBroker({ limits: { maxClients: 1 } });
    const first = await signIn(broker, 'sensor', { clientId: 'press-7' });
    await expect(signIn(broker, 'sensor', { clientId: 'press-8' })).rejects.toThrow(/Server unavailable/i);
    const thrownOut = closing(first);
    const again = await signIn(broker, 'sensor', { clientId: 'press-7' });
    await thrownOut;
    expect(again.connected).toBe(true);
  });
});

describe('the broker over WebSocket', () => {
  it('passes messages on between WebSocket and TCP', async () => {
    const broker = await startBroker();
    const agent = await signIn(broker, 'agent');
    const received = gather(agent);
    await agent.subscribeAsync('takeline/+/in/#', { qos: 1 });
    const sensor = await signIn(broker, 'sensor', { url: `ws://127.0.0.1:${broker.wsPort}/mqtt` });
    await sensor.publishAsync(READING, '41.5', { qos: 1 });
    expect(await received.first(1)).toEqual(['41.5']);
  });

  it('closes on a text frame ([MQTT-6.0.0-1])', async () => {
    const broker = await startBroker();
    const socket = new WebSocket(`ws://127.0.0.1:${broker.wsPort}`, 'mqtt');
    await once(socket, 'open');
    socket.send('CONNECT');
    await once(socket, 'close');
    expect(socket.readyState).toBe(WebSocket.CLOSED);
  });

  it('points a browser that comes by plain HTTP the right way', async () => {
    const broker = await startBroker();
    const response = await fetch(`http://127.0.0.1:${broker.wsPort}/`);
    expect([response.status, await response.text()]).toEqual([426, 'This port speaks MQTT over WebSocket.\n']);
  });
});
