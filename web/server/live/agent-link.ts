import { randomUUID } from 'node:crypto';
import { connect, type MqttClient } from 'mqtt';
import type { RequestMessage } from '../../../agent/contract/messages.js';
import { agentStatusFilter, answerFilter, outFilter, requestTopic } from '../../../agent/contract/topics.js';
import type { Clock } from '../../../agent/process/clock.js';
import type { LiveInput } from '../logic/live-picture.js';
import { Overtaken } from '../logic/overtaken.js';
import { readMessage } from '../logic/read-message.js';
import { PendingRequests, type RequestOutcome } from './requests.js';

/** Where the broker is and who the web server is there. */
export interface BrokerAddress {
  readonly url: string;
  readonly username?: string;
  readonly password?: string;
}

export interface AgentLinkParts {
  readonly broker: BrokerAddress;
  readonly siteId: string;
  readonly clock: Clock;
  /** Takes in what was heard. */
  readonly hear: (input: LiveInput) => void;
  /** Is told where findings or the service log of a conveyor have changed. */
  readonly tellWork: (conveyor: string) => void;
  readonly log: (line: string) => void;
}

/** A dead line is noticed after one and a half of these. */
const KEEP_ALIVE_S = 10;
const RETRY_MS = 2000;
const CONNECT_TIMEOUT_MS = 5000;
/** The agent answers at once or not at all. */
const ANSWER_MS = 5000;

/** The web server's place on the broker: hears the agent, and asks it. It connects by itself, again and again. */
export class AgentLink {
  private readonly pending = new PendingRequests();
  private readonly overtaken = new Overtaken();
  private client: MqttClient | undefined;
  /** What was last said of the connection, so that each thing is said once. */
  private said = '';

  constructor(private readonly parts: AgentLinkParts) {}

  /** Begins to connect; a broker that is away is waited for. */
  start(): void {
    const { broker, siteId, hear, clock } = this.parts;
    const client = connect(broker.url, {
      clientId: `web-${randomUUID().slice(0, 8)}`,
      clean: true,
      keepalive: KEEP_ALIVE_S,
      reconnectPeriod: RETRY_MS,
      connectTimeout: CONNECT_TIMEOUT_MS,
      resubscribe: false,
      // A broker that refuses today may be set right without our being started again.
      reconnectOnConnackError: true,
      ...(broker.username === undefined ? {} : { username: broker.username }),
      ...(broker.password === undefined ? {} : { password: broker.password }),
    });
    client.on('connect', () => {
      this.overtaken.begin();
      this.say(`connected to the broker at ${hostOf(broker.url)}`);
      // All answers, other servers' too: a subscription for each would be given up and taken again under one name by a second click.
      this.subscribe(client, [outFilter(siteId), agentStatusFilter(siteId), answerFilter(siteId)]);
      hear({ kind: 'broker', connected: true, atMs: clock.nowMs() });
    });
    client.on('close', () => {
      this.pending.settleAll({ kind: 'broker-away' });
      hear({ kind: 'broker', connected: false, atMs: clock.nowMs() });
    });
    client.on('error', (error) => this.say(`the broker at ${hostOf(broker.url)} cannot be reached (${error.message}); trying again`));
    client.on('message', (topic, payload, { retain }) => {
      if (!this.overtaken.isOld(topic, retain)) this.take(topic, payload);
    });
    this.client = client;
  }

  /**
   * Asks the agent to do something.
   *
   * @param verb - the last part of the topic
   * @param by - who asks
   * @param request - by which the agent knows the same request again; not one that still waits for its answer
   */
  async request(
    verb: string,
    by: string,
    fields: Readonly<Record<string, unknown>>,
    request: string = randomUUID(),
  ): Promise<RequestOutcome> {
    const { client } = this;
    if (client === undefined || !client.connected) return { kind: 'broker-away' };
    const message: RequestMessage = { ...fields, request, by };
    const outcome = this.pending.wait(request, ANSWER_MS);
    client.publish(requestTopic(this.parts.siteId, verb), JSON.stringify(message), { qos: 1 });
    return outcome;
  }

  /** Stopping twice is harmless. */
  async stop(): Promise<void> {
    const { client } = this;
    this.client = undefined;
    this.pending.settleAll({ kind: 'broker-away' });
    client?.removeAllListeners('close');
    await client?.endAsync(true);
  }

  private subscribe(client: MqttClient, topics: string[]): void {
    client.subscribe(topics, { qos: 1 }, (error, granted) => {
      const refused = granted?.filter(({ qos }) => qos > 2).map(({ topic }) => topic) ?? [];
      if (error !== null && client.connected) this.say(`the broker took no subscription: ${error.message}`);
      else if (refused.length > 0) this.say(`the broker does not let the web server subscribe to ${refused.join(', ')}`);
    });
  }

  private take(topic: string, payload: Buffer): void {
    const message = readMessage(topic, payload.toString('utf8'), this.parts.clock.nowMs());
    if (message.kind === 'unreadable') this.say(`a message on ${topic} is not as it should be: is the agent of the same version?`);
    else if (message.kind === 'answer') this.pending.settle(message.answer.request, { kind: 'answered', answer: message.answer });
    else if (message.kind === 'input') this.parts.hear(message.input);
    else if (message.kind === 'work') this.parts.tellWork(message.conveyor);
  }

  private say(line: string): void {
    if (line === this.said) return;
    this.said = line;
    this.parts.log(`web: ${line}`);
  }
}

function hostOf(url: string): string {
  return URL.canParse(url) ? new URL(url).host : url;
}
