import { Socket } from 'node:net';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { TakelineFault } from '../process/fault.js';
import { LateAcknowledgements } from './late-acknowledgements.js';

/** A message as it came. */
export interface Incoming {
  readonly topic: string;
  readonly payload: string;
  /** Its sender waits for an acknowledgement. */
  readonly acknowledged: boolean;
  /** The broker kept it for whoever subscribes: how old it is, it does not say. */
  readonly retained: boolean;
}

export interface BrokerLinkOptions {
  /** `mqtt://`, `mqtts://`, `ws://` or `wss://`. */
  readonly url: string;
  readonly clientId: string;
  readonly username?: string;
  readonly password?: string;
  /** Whether the broker keeps what comes at QoS 1 while this client is away. */
  readonly keepSession: boolean;
  /** Topics to subscribe, at QoS 1: what was published at QoS 0 still comes at QoS 0. */
  readonly topics: readonly string[];
  /** What the broker says, retained, when this client falls silent. */
  readonly will?: { readonly topic: string; readonly payload: string };
  /**
   * Takes a message. A QoS 1 message is acknowledged to the broker only after this is done, so what must not be lost is made durable
   * in it; the next ones come meanwhile, so that many become durable at once. A failure leaves the message unacknowledged: the broker
   * sends it again after a reconnect.
   */
  readonly take: (message: Incoming) => Promise<void> | undefined;
  /** Is told when the connection comes and goes, each once, and what the broker refuses. */
  readonly onState?: (connected: boolean, why: string) => void;
}

/** Keep-alive: a dead connection is noticed after one and a half of these. */
const KEEP_ALIVE_S = 10;
/** Between two tries to connect. */
const RETRY_MS = 2000;
const AGAIN = 'trying again every two seconds';
const CONNECT_TIMEOUT_MS = 5000;
/** At the end, what was published is waited for so long: a broker that is away will not take it. */
const FAREWELL_MS = 1000;
/** MQTT 3.1.1 §3.9.3: from here on, what a broker answers to a subscription is a refusal. */
const REFUSED = 0x80;
const PROTOCOLS = /^(mqtts?|wss?):$/;

/**
 * A client of the broker with a persistent session (clean session off): what is published at QoS 1 while the agent is away waits for it.
 * It reconnects by itself; `start` fails where the broker cannot be reached or refuses the sign-in.
 */
export class BrokerLink {
  private client: MqttClient | undefined;
  private standing = false;
  /** Published before the start. */
  private readonly early: { readonly topic: string; readonly payload: string; readonly retain: boolean }[] = [];

  constructor(private readonly options: BrokerLinkOptions) {}

  get connected(): boolean {
    return this.client?.connected ?? false;
  }

  /** Connects and subscribes. @throws TakelineFault `broker-address`, `broker-refused` or `broker-unreachable` */
  async start(): Promise<void> {
    const where = this.placeOf(this.options.url);
    const client = mqtt.connect(this.options.url, this.settings());
    this.client = client;
    for (const { topic, payload, retain } of this.early.splice(0)) this.publish(topic, payload, retain);
    // In the same breath, before a packet can come: a kept session sends what waits right behind its greeting, and what is not taken is lost.
    const acknowledgements = new LateAcknowledgements(client);
    client.handleMessage = (packet, done) => {
      const { topic, qos, retain } = packet;
      const taken = this.options.take({ topic, payload: packet.payload.toString(), acknowledged: qos > 0, retained: retain });
      if (taken !== undefined && qos > 0) acknowledgements.hold(packet.messageId ?? 0, taken);
      done();
    };
    client.on('connect', () => {
      // An acknowledgement is a few bytes: held back until the last ones are confirmed (Nagle), it would cost 40 ms each.
      if (client.stream instanceof Socket) client.stream.setNoDelay(true);
      this.subscribe(client);
      this.turn(true, 'connected');
    });
    const connecting = new Promise<void>((resolve, reject) => {
      client.once('connect', () => {
        resolve();
      });
      client.once('error', reject);
      client.once('close', () => {
        reject(new Error('no answer'));
      });
    });
    try {
      await connecting;
    } catch (error) {
      this.client = undefined;
      await client.endAsync(true);
      throw this.fault(where, error);
    }
    client.on('close', () => {
      this.turn(false, `the connection is closed; ${AGAIN}`);
    });
    client.on('error', (error) => {
      this.turn(false, `${messageOf(error)}; ${AGAIN}`);
    });
  }

  private settings(): IClientOptions {
    const { clientId, keepSession, username, password, will } = this.options;
    return {
      clientId,
      clean: !keepSession,
      keepalive: KEEP_ALIVE_S,
      reconnectPeriod: RETRY_MS,
      connectTimeout: CONNECT_TIMEOUT_MS,
      resubscribe: false,
      ...(username === undefined ? {} : { username }),
      ...(password === undefined ? {} : { password }),
      ...(will ? { will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: true } } : {}),
    };
  }

  private placeOf(url: string): string {
    const parsed = URL.canParse(url) ? new URL(url) : undefined;
    if (parsed !== undefined && PROTOCOLS.test(parsed.protocol) && parsed.host !== '') return parsed.host;
    throw new TakelineFault(
      'broker-address',
      `${url} is no broker's address: give one like mqtt://127.0.0.1:1883 (or mqtts://, ws://, wss://)`,
    );
  }

  private fault(where: string, error: unknown): TakelineFault {
    const message = messageOf(error);
    return /not authorized|bad user|password/i.test(message)
      ? new TakelineFault('broker-refused', `the broker at ${where} refused the sign-in: check the user and password it was given`)
      : new TakelineFault(
          'broker-unreachable',
          `the broker at ${where} cannot be reached (${message}): start it, or give another with --broker`,
        );
  }

  private subscribe(client: MqttClient): void {
    const { topics, onState } = this.options;
    if (topics.length === 0) return;
    client.subscribe([...topics], { qos: 1 }, (_error, _subscriptions, answer) => {
      // Without an answer the connection went, which is told of as such.
      const refused = topics.filter((_, index) => Number(answer?.granted[index] ?? 0) >= REFUSED);
      if (refused.length > 0) onState?.(false, `it does not let this user subscribe to ${refused.join(', ')}: see its access rules`);
    });
  }

  /** Tells of a turn, not of every try. */
  private turn(connected: boolean, why: string): void {
    if (connected === this.standing || this.client === undefined) return;
    this.standing = connected;
    this.options.onState?.(connected, why);
  }

  /** Publishes at QoS 1; kept and sent when it can be, where the broker is away or the link has not begun. */
  publish(topic: string, payload: string, retain: boolean): void {
    if (this.client === undefined) this.early.push({ topic, payload, retain });
    else this.client.publish(topic, payload, { qos: 1, retain });
  }

  /** Publishes at QoS 0, and not at all while the broker is away: the next picture is soon there. */
  publishPicture(topic: string, payload: string): void {
    if (this.connected) this.client?.publish(topic, payload, { qos: 0, retain: true });
  }

  /** Connects anew, so that the broker sends again what it was not acknowledged: it would wait with it, and then with all that follows. */
  renew(): void {
    this.client?.stream.destroy();
  }

  /** Disconnects when what was published has been taken, or after a second without that. Stopping twice is harmless. */
  /** Publishes a reading as a sensor does: at QoS 0, not retained. */
  publishReading(topic: string, payload: string): void {
    if (this.connected) this.client?.publish(topic, payload, { qos: 0 });
  }

  async stop(): Promise<void> {
    const { client } = this;
    this.client = undefined;
    if (client === undefined) return;
    // To a broker that is away there is no farewell to say; the client would wait for it for ever.
    const ended = client.endAsync(!client.connected).then(() => true);
    if (!(await firstOf(ended, FAREWELL_MS))) client.stream.destroy();
  }
}

/** What a promise gives, or undefined where it takes longer. */
async function firstOf<T>(promise: Promise<T>, ms: number): Promise<T | undefined> {
  let timer: NodeJS.Timeout | undefined;
  const patience = new Promise<undefined>((resolve) => {
    timer = setTimeout(() => {
      resolve(undefined);
    }, ms);
  });
  try {
    return await Promise.race([promise, patience]);
  } finally {
    clearTimeout(timer);
  }
}

/** Several addresses behind one name fail together, each for a reason of its own and all under a blank one. */
function messageOf(error: unknown): string {
  if (error instanceof AggregateError && error.message === '') return error.errors.map(messageOf).join(', ');
  return error instanceof Error ? error.message : String(error);
}
