import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { type Socket, connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { type Role, signInOf } from '../../agent/process/secrets.js';
import type { BrokerOptions, BrokerPorts } from '../../broker/broker-options.js';
import { createBroker } from '../../broker/broker.js';

/** A broker of the test's own on free ports of the loopback, with what it said. */
export interface TestBroker extends Required<BrokerPorts> {
  readonly dataDir: string;
  readonly said: readonly string[];
  stop(): Promise<void>;
}

/** A data folder that goes with the test. */
export function dataFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-broker-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Starts a broker; it is stopped with the test at the latest. */
export async function startBroker(options: Partial<BrokerOptions> = {}): Promise<TestBroker> {
  const dataDir = options.dataDir ?? dataFolder();
  const said: string[] = [];
  const broker = createBroker({ tcpPort: 0, wsPort: 0, log: (line) => said.push(line), ...options, dataDir });
  const { tcpPort, wsPort = 0 } = await broker.start();
  const stop = () => broker.stop();
  onTestFinished(stop);
  return { tcpPort, wsPort, dataDir, said, stop };
}

/** How to sign in, beyond what every client does. */
export interface SignInOptions extends IClientOptions {
  readonly url?: string;
  /** Called before the first packet goes out: a kept session gets its messages with the sign-in. */
  readonly onClient?: (client: MqttClient) => void;
}

/** Signs in as one of the roles, over TCP unless told otherwise. */
export async function signIn(broker: TestBroker, role: Role, options: SignInOptions = {}): Promise<MqttClient> {
  const { url = `mqtt://127.0.0.1:${broker.tcpPort}`, onClient, ...rest } = options;
  return signInWith(url, { ...(await signInOf(broker.dataDir, role)), ...rest }, onClient);
}

/** Signs in with the user name and password given, if any. */
export async function signInWith(url: string, options: IClientOptions, onClient?: (client: MqttClient) => void): Promise<MqttClient> {
  const client = mqtt.connect(url, { reconnectPeriod: 0, ...options });
  onTestFinished(() => void client.end(true));
  onClient?.(client);
  await new Promise((resolve, reject) => {
    client.once('connect', resolve).once('error', reject);
    client.once('close', () => reject(new Error('the connection was closed')));
  });
  client.on('error', () => undefined);
  return client;
}

/** Waits for the connection to end. */
export function closing(client: MqttClient): Promise<unknown> {
  return new Promise((resolve) => client.once('close', () => resolve(undefined)));
}

/** The messages that a client got. */
export interface Gathered {
  readonly texts: readonly string[];
  /** The first so many, when they have come. */
  first(count: number): Promise<readonly string[]>;
  /** Resolves when this one has come last. */
  untilLast(text: string): Promise<void>;
}

/** Gathers the messages that a client gets from now on. */
export function gather(client: MqttClient): Gathered {
  const texts: string[] = [];
  let look = (): void => undefined;
  client.on('message', (_topic, payload) => {
    texts.push(payload.toString());
    look();
  });
  const until = (isSo: () => boolean): Promise<void> =>
    new Promise((resolve) => {
      look = () => {
        if (isSo()) resolve();
      };
      look();
    });
  return {
    texts,
    first: async (count) => {
      await until(() => texts.length >= count);
      return texts.slice(0, count);
    },
    untilLast: (text) => until(() => texts.at(-1) === text),
  };
}

/** A bare socket, for what no client library would send. */
export async function rawSocket(port: number): Promise<Socket> {
  const socket = connect(port, '127.0.0.1');
  socket.on('error', () => undefined);
  onTestFinished(() => void socket.destroy());
  await once(socket, 'connect');
  return socket;
}

/** Sends bytes and gives all that comes back until the other side closes. */
export async function answerUntilClosed(socket: Socket, bytes: Uint8Array): Promise<Buffer> {
  const chunks: Buffer[] = [];
  socket.on('data', (chunk: Buffer) => chunks.push(chunk));
  socket.write(bytes);
  await once(socket, 'close');
  return Buffer.concat(chunks);
}

/** Sends bytes and gives the first answer. */
export async function firstAnswer(socket: Socket, bytes: Uint8Array): Promise<Buffer> {
  socket.write(bytes);
  const [answer] = (await once(socket, 'data')) as [Buffer];
  return answer;
}
