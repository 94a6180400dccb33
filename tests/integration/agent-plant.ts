import { randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import type { Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { expect, onTestFinished, vi } from 'vitest';
import { Agent } from '../../agent/agent.js';
import type { AgentStatus, AlarmMessage, AnswerMessage, EventMessage, TakeupNow } from '../../agent/contract/messages.js';
import { agentStatusTopic, alarmTopic, answerTopic, inTopic, nowTopic, requestTopic } from '../../agent/contract/topics.js';
import type { AlarmKey } from '../../agent/flow/alarm-key.js';
import type { Clock } from '../../agent/process/clock.js';
import type { Site } from '../../agent/site/site.js';
import { agentSite, BEGIN_MS, SITE_ID } from './agent-site.js';

/** A clock that stands until it is moved. */
export class HandClock implements Clock {
  constructor(public ms: number = BEGIN_MS) {}

  nowMs(): number {
    return this.ms;
  }
}

/** Something heard on the broker. */
export interface Heard {
  readonly topic: string;
  readonly payload: string;
  readonly retained: boolean;
  /** On the machine's own clock. */
  readonly atMs: number;
}

/** Listens to everything on a broker, and speaks as sensors and the web do. */
export class Ear {
  readonly heard: Heard[] = [];

  private constructor(readonly client: MqttClient) {
    client.on('message', (topic, payload, { retain }) => {
      this.heard.push({ topic, payload: payload.toString(), retained: retain, atMs: performance.now() });
    });
  }

  /** Listens on a broker that lets everybody in, from what it kept on; goes with the test. */
  static async at(url: string): Promise<Ear> {
    const client = mqtt.connect(url, { reconnectPeriod: 50 });
    onTestFinished(() => client.endAsync(true));
    const ear = new Ear(client);
    client.on('connect', () => {
      (client.stream as Socket).setNoDelay(true);
      client.subscribe('#', { qos: 1 });
    });
    await new Promise((resolve) => client.once('connect', resolve));
    await ear.caughtUp();
    return ear;
  }

  /** As `at`, on a broker that is made to forget what earlier tests left there. */
  static async afresh(url: string): Promise<Ear> {
    const ear = await Ear.at(url);
    for (const topic of new Set(ear.heard.map((one) => one.topic))) await ear.client.publishAsync(topic, '', { qos: 1, retain: true });
    await ear.caughtUp();
    ear.heard.length = 0;
    return ear;
  }

  /** Waits until everything that the broker had to say up to now has been heard. */
  private async caughtUp(): Promise<void> {
    const mark = `tests/${randomUUID()}`;
    await this.client.publishAsync(mark, '', { qos: 1 });
    await until(() => expect(this.heard.some(({ topic }) => topic === mark)).toBe(true));
  }

  /** Payloads heard on a topic, in order. */
  on(topic: string): readonly unknown[] {
    return this.heard.filter((one) => one.topic === topic && one.payload !== '').map(({ payload }) => JSON.parse(payload) as unknown);
  }

  now(conveyor: string, takeup: string): TakeupNow | undefined {
    return this.on(nowTopic(SITE_ID, conveyor, takeup)).at(-1) as TakeupNow | undefined;
  }

  alarm(conveyor: string, takeup: string, key: AlarmKey): AlarmMessage | undefined {
    return this.on(alarmTopic(SITE_ID, conveyor, takeup, key)).at(-1) as AlarmMessage | undefined;
  }

  status(agent: string): AgentStatus | undefined {
    return this.on(agentStatusTopic(SITE_ID, agent)).at(-1) as AgentStatus | undefined;
  }

  events(): readonly EventMessage[] {
    return this.heard.filter(({ topic }) => topic.endsWith('/event')).map(({ payload }) => JSON.parse(payload) as EventMessage);
  }

  /** Asks the agent and waits for its answer. */
  async ask(verb: string, body: Readonly<Record<string, unknown>>, request: string = randomUUID()): Promise<AnswerMessage> {
    const before = this.on(answerTopic(SITE_ID, request)).length;
    await this.client.publishAsync(requestTopic(SITE_ID, verb), JSON.stringify({ request, by: 'Kari', ...body }), { qos: 1 });
    return vi.waitFor(
      () => {
        const answer = this.on(answerTopic(SITE_ID, request))[before] as AnswerMessage | undefined;
        if (answer === undefined) throw new Error(`no answer to ${verb} ${request}`);
        return answer;
      },
      { timeout: 5000, interval: 5 },
    );
  }

  /** Publishes a reading with its own time on a signal's default topic. */
  async read(signal: string, timeMs: number, value: unknown): Promise<void> {
    await this.client.publishAsync(inTopic(SITE_ID, signal), JSON.stringify({ value, time: timeMs }), { qos: 1 });
  }

  /** Both sides of a take-up, a reading a second, from one time up to another. */
  async readBoth(takeup: string, fromMs: number, toMs: number, left: number, right: number = left): Promise<void> {
    const sent: Promise<unknown>[] = [];
    for (let timeMs = fromMs; timeMs < toMs; timeMs += 1000) {
      sent.push(this.read(`${takeup}/left/position`, timeMs, left), this.read(`${takeup}/right/position`, timeMs, right));
    }
    await Promise.all(sent);
  }
}

/** An agent under test, and what it said. */
export interface TestAgent {
  /** The broker keeps a session for each. */
  readonly id: string;
  readonly agent: Agent;
  readonly said: readonly string[];
  readonly dataDir: string;
}

export interface TestAgentOptions {
  readonly url: string;
  readonly clock: Clock;
  /** Default: one of its own, so that nothing waits for it at the broker. */
  readonly id?: string;
  readonly site?: Site;
  readonly dataDir?: string;
  readonly username?: string;
  readonly password?: string;
}

/** A data folder that goes with the test. */
export function agentFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'takeline-agent-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

/** Makes an agent; it is stopped with the test at the latest. */
function makeAgent(options: TestAgentOptions): TestAgent {
  const { url, clock, id = `edge-${randomUUID()}`, site = agentSite(), dataDir = agentFolder(), ...signIn } = options;
  const said: string[] = [];
  const say = (sentence: string): void => {
    said.push(sentence);
  };
  const agent = new Agent({ id, site, dataDir, broker: { url, ...signIn }, clock, log: { info: say, warn: say, error: say } });
  onTestFinished(() => agent.stop());
  return { id, agent, said, dataDir };
}

/** Makes an agent and starts it. */
export async function startAgent(options: TestAgentOptions): Promise<TestAgent> {
  const made = makeAgent(options);
  await made.agent.start();
  return made;
}

/** Every number in a message, with its path. */
export function numbersIn(message: unknown, path = ''): readonly string[] {
  if (typeof message === 'number') return [`${path} ${String(message)}`];
  if (typeof message !== 'object' || message === null) return [];
  return Object.entries(message).flatMap(([key, inner]) => numbersIn(inner, `${path}.${key}`));
}

/** Waits until something holds. */
export async function until(holds: () => void): Promise<void> {
  await vi.waitFor(holds, { timeout: 8000, interval: 10 });
}
