import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { TakelineFault } from '../process/fault.js';

/** A message as it came: its topic, its payload, and whether its sender waits for an acknowledgement. */
export interface Incoming {
  readonly topic: string;
  readonly payload: string;
  readonly acknowledged: boolean;
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
   * in it. A failure leaves the message unacknowledged: the broker sends it again after a reconnect.
   */
  readonly take: (message: Incoming) => Promise<void> | undefined;
  readonly onState?: (connected: boolean, why: string) => void;
}

/** Keep-alive: a dead connection is noticed after one and a half of these. */
const KEEP_ALIVE_S = 10;
/** Between two tries to connect. */
const RETRY_MS = 2000;
const CONNECT_TIMEOUT_MS = 5000;

/**
 * A client of the broker with a persistent session (clean session off): what is published at QoS 1 while the agent is away waits for it.
 * It reconnects by itself; `start` fails only where the broker refuses the sign-in.
 */
export class BrokerLink {
  private client: MqttClient | undefined;

  constructor(private readonly options: BrokerLinkOptions) {}

  get connected(): boolean {
    return this.client?.connected ?? false;
  }

  /** Connects and subscribes. @throws TakelineFault `broker-refused` or `broker-unreachable` */
  async start(): Promise<void> {
    const { options } = this;
    const client = await this.connect();
    this.client = client;
    client.on('connect', () => {
      this.subscribe(client);
      options.onState?.(true, 'connected');
    });
    client.on('close', () => options.onState?.(false, 'the connection is closed'));
    client.on('error', (error) => options.onState?.(false, error.message));
    this.subscribe(client);
    options.onState?.(true, 'connected');
  }

  private async connect(): Promise<MqttClient> {
    const { options } = this;
    const settings: IClientOptions = {
      clientId: options.clientId,
      clean: !options.keepSession,
      keepalive: KEEP_ALIVE_S,
      reconnectPeriod: RETRY_MS,
      connectTimeout: CONNECT_TIMEOUT_MS,
      resubscribe: false,
      ...(options.username === undefined ? {} : { username: options.username }),
      ...(options.password === undefined ? {} : { password: options.password }),
      ...(options.will ? { will: { topic: options.will.topic, payload: Buffer.from(options.will.payload), qos: 1, retain: true } } : {}),
    };
    try {
      const client = await connectAsync(options.url, { ...settings, manualConnect: false }, false);
      client.handleMessage = (packet, done) => {
        const taken = options.take({ topic: packet.topic, payload: packet.payload.toString(), acknowledged: packet.qos > 0 });
        if (taken === undefined) {
          done();
          return;
        }
        taken.then(
          () => {
            done();
          },
          (error: unknown) => {
            done(error instanceof Error ? error : new Error(String(error)));
          },
        );
      };
      return client;
    } catch (error) {
      throw this.fault(error);
    }
  }

  private fault(error: unknown): TakelineFault {
    const message = error instanceof Error ? error.message : String(error);
    const where = new URL(this.options.url).host;
    return /not authorized|bad user|password/i.test(message)
      ? new TakelineFault('broker-refused', `the broker at ${where} refused the sign-in: check the user and password it was given`)
      : new TakelineFault(
          'broker-unreachable',
          `the broker at ${where} cannot be reached (${message}): start it, or give another with --broker`,
        );
  }

  private subscribe(client: MqttClient): void {
    if (this.options.topics.length === 0) return;
    client.subscribe([...this.options.topics], { qos: 1 }, (error, granted) => {
      const refused = granted?.filter(({ qos }) => qos === 128).map(({ topic }) => topic) ?? [];
      if (error !== null) this.options.onState?.(false, `the broker took no subscription: ${error.message}`);
      else if (refused.length > 0) this.options.onState?.(false, `the broker does not let this user subscribe to ${refused.join(', ')}`);
    });
  }

  /** Publishes at QoS 1; kept and sent after a reconnect where the broker is away. */
  publish(topic: string, payload: string, retain: boolean): void {
    this.client?.publish(topic, payload, { qos: 1, retain });
  }

  /** Publishes at QoS 0, and not at all while the broker is away: the next picture is soon there. */
  publishPicture(topic: string, payload: string): void {
    if (this.connected) this.client?.publish(topic, payload, { qos: 0, retain: true });
  }

  async stop(): Promise<void> {
    await this.client?.endAsync();
    this.client = undefined;
  }
}
