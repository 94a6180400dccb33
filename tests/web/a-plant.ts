import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { connectAsync, type MqttClient } from 'mqtt';
import type { AgentStatus, AlarmMessage, AnswerMessage, EventMessage, RequestMessage, TakeupNow } from '../../agent/contract/messages.js';
import {
  agentStatusTopic,
  alarmTopic,
  answerTopic,
  eventTopic,
  nowTopic,
  parseRequestTopic,
  requestFilter,
} from '../../agent/contract/topics.js';
import { siteDeskOf } from '../../agent/commands/site-desk.js';
import { ALARM_DEFINITIONS } from '../../agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../agent/flow/alarm/texts.js';
import type { Clock } from '../../agent/process/clock.js';
import { signInOf } from '../../agent/process/secrets.js';
import type { Site } from '../../agent/site/site.js';
import type { StoreReader } from '../../agent/store/store.js';
import { createBroker } from '../../broker/broker.js';
import type { ReadingSeriesOf } from '../../web/server/series-desk.js';
import { createWebServer, type WebServerStarted } from '../../web/server/web-server.js';
import { siteWith } from './a-site.js';

/** A broker with its rules, something that speaks as an agent, and the web server: each on a free port, all of it gone with `stop`. */
export interface Plant {
  readonly site: Site;
  readonly web: WebServerStarted & { readonly url: string };
  readonly agent: StandInAgent;
  /** What the web server said. */
  readonly said: readonly string[];
  /** Starts the web server anew on its port, as after a stop by `stopWeb`. */
  startWeb(): Promise<void>;
  stopWeb(): Promise<void>;
  stopBroker(): Promise<void>;
  stop(): Promise<void>;
}

/** Publishes what an agent would, and answers requests. */
export interface StandInAgent {
  now(message: TakeupNow): Promise<void>;
  alarm(message: AlarmMessage): Promise<void>;
  event(message: EventMessage): Promise<void>;
  /** Beats from now on as an agent does, or says that it has ended. */
  heartbeat(running?: boolean): Promise<void>;
  /** What it was asked, in order. */
  readonly asked: readonly { readonly verb: string; readonly message: RequestMessage }[];
  /** How it answers; undefined: not at all. */
  answer: ((verb: string, message: RequestMessage) => Omit<AnswerMessage, 'request'>) | undefined;
}

export interface PlantOptions {
  readonly site?: Site;
  readonly history?: Partial<StoreReader>;
  readonly clientDir?: string;
  /** Draws a short stretch from raw readings; default: it does not. */
  readonly readingSeries?: ReadingSeriesOf;
  /** Of the web server; default the machine's. */
  readonly clock?: Clock;
  /** The site file's text, as the web command hands it over: to read on the bench, and to change. */
  readonly siteText?: string;
}

export async function startPlant({
  site = siteWith(2),
  history = {},
  clientDir,
  siteText,
  clock,
  readingSeries,
}: PlantOptions = {}): Promise<Plant> {
  const dataDir = mkdtempSync(join(tmpdir(), 'takeline-plant-'));
  const broker = createBroker({ dataDir, tcpPort: 0, wsPort: 'off', scope: { siteId: site.id, signalTopics: [] } });
  const { tcpPort } = await broker.start();
  const url = `mqtt://127.0.0.1:${tcpPort}`;
  const client = await connectAsync(url, { ...(await signInOf(dataDir, 'agent')), clientId: 'stand-in' });
  const agent = await standIn(client, site.id);
  const said: string[] = [];
  const webSignIn = await signInOf(dataDir, 'web');
  const create = (port: number) =>
    createWebServer({
      ...{ site, dataDir, port, broker: { url, ...webSignIn }, alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS } },
      openHistory: () => Promise.resolve(emptyHistory(history)),
      readingSeries: readingSeries ?? (() => Promise.resolve('too-many')),
      exportReadings: (query, form) => Promise.resolve(Readable.from([JSON.stringify({ ...query, form })])),
      log: (line) => said.push(line),
      ...(siteText === undefined ? {} : { siteText: () => Promise.resolve(siteText), siteDesk: siteDeskOf(site, siteText) }),
      ...(clientDir === undefined ? {} : { clientDir }),
      ...(clock === undefined ? {} : { clock }),
    });
  let web = create(0);
  const started = await web.start();
  return {
    ...{ site, agent, said, web: started },
    startWeb: async () => {
      web = create(started.port);
      await web.start();
    },
    stopWeb: () => web.stop(),
    stopBroker: () => broker.stop(),
    stop: async () => {
      await web.stop();
      await client.endAsync(true);
      await broker.stop();
      rmSync(dataDir, { recursive: true, force: true });
    },
  };
}

async function standIn(client: MqttClient, siteId: string): Promise<StandInAgent> {
  const publish = async (topic: string, message: unknown): Promise<void> => {
    await client.publishAsync(topic, JSON.stringify(message), { qos: 1, retain: true });
  };
  const asked: { verb: string; message: RequestMessage }[] = [];
  const beat = (running: boolean): Promise<void> => publish(agentStatusTopic(siteId, 'agent'), statusOf(siteId, running));
  let beats: NodeJS.Timeout | undefined;
  client.on('close', () => clearInterval(beats));
  const agent: StandInAgent = {
    now: (message) => publish(nowTopic(siteId, message.conveyor, message.takeup), message),
    alarm: (message) => publish(alarmTopic(siteId, message.conveyor, message.takeup ?? '', message.alarm), message),
    event: async (message) => {
      await client.publishAsync(eventTopic(siteId, message.conveyor, message.takeup), JSON.stringify(message), { qos: 1 });
    },
    heartbeat: async (running = true) => {
      clearInterval(beats);
      await beat(running);
      // A test that takes long on a slow machine must not find the agent silent.
      if (running) beats = setInterval(() => void beat(true).catch(() => clearInterval(beats)), BEAT_MS);
    },
    asked,
    answer: () => ({ ok: true, message: 'done' }),
  };
  client.on('message', (topic, payload) => {
    const verb = parseRequestTopic(topic)?.verb;
    if (verb === undefined) return;
    const message = JSON.parse(payload.toString()) as RequestMessage;
    asked.push({ verb, message });
    const answer = agent.answer?.(verb, message);
    if (answer !== undefined)
      client.publish(answerTopic(siteId, message.request), JSON.stringify({ request: message.request, ...answer }), { qos: 1 });
  });
  await client.subscribeAsync(requestFilter(siteId), { qos: 1 });
  return agent;
}

function statusOf(site: string, running: boolean): AgentStatus {
  return { version: 1, agent: 'agent', site, running, time: new Date().toISOString() };
}

const BEAT_MS = 10_000;
const NONE_ON_DISK = { readings: 0, bytes: 0 };

/** A store in which nothing is written yet, but for what a test puts in. */
function emptyHistory(different: Partial<StoreReader>): StoreReader {
  const none = () => Promise.resolve([]);
  return {
    settledDays: none,
    minutes: () => Promise.resolve({ widthMs: 60_000, points: [] }),
    positionSeries: () =>
      Promise.resolve({
        ...{ source: 'minutes', widthMs: 60_000, timeMs: [], minMm: [], maxMm: [], meanMm: [] },
        ...{ settledMm: [], springMinMm: [], tensionN: [], tensionMinN: [], tensionMaxN: [], count: [] },
      }),
    conveyorCourse: ({ fromMs, widthMs }) => Promise.resolve({ temperatures: [], running: { fromMs, widthMs, ran: [], stood: [] } }),
    springSettings: none,
    alarmEvents: () => Promise.resolve({ events: [], total: 0 }),
    alarmTurns: () => Promise.resolve({ turns: [] }),
    entries: none,
    findings: none,
    pageMessages: none,
    paging: () => Promise.resolve({ messages: [], notes: [] }),
    readings: () => (async function* () {})(),
    recorded: none,
    signalNames: none,
    siteVersions: none,
    siteVersion: () => Promise.resolve(undefined),
    diskBytes: () => Promise.resolve(0),
    diskUse: () =>
      Promise.resolve({
        ...{ totalBytes: 0, spareBytes: 0, figuresBytes: 0, oldestMs: null, oldestMinuteMs: null, freeBytes: null, retention: null },
        ...{ journal: NONE_ON_DISK, blocks: NONE_ON_DISK, recorder: NONE_ON_DISK },
      }),
    stop: () => Promise.resolve(),
    ...different,
  };
}
