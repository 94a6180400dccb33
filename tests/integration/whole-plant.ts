import { Readable } from 'node:stream';
import { connectAsync, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { Agent } from '../../agent/agent.js';
import { inTopic } from '../../agent/contract/topics.js';
import { ALARM_DEFINITIONS } from '../../agent/flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../../agent/flow/alarm/texts.js';
import { WALL_CLOCK } from '../../agent/process/clock.js';
import { signInOf } from '../../agent/process/secrets.js';
import { readingSeries } from '../../agent/live/reading-series.js';
import { signalsOf } from '../../agent/site/site.js';
import { openSqliteReader } from '../../agent/store/sqlite-reader.js';
import { createBroker } from '../../broker/broker.js';
import { createWebServer, type WebServerStarted } from '../../web/server/web-server.js';
import { agentFolder } from './agent-plant.js';
import { agentSite, SITE_ID } from './agent-site.js';

/** The embedded broker with its rules, the real agent and the web server on one data folder, by the clock on the wall; gone with the test. */
export interface WholePlant {
  readonly dataDir: string;
  readonly agent: Agent;
  readonly web: WebServerStarted;
  /** The carriage stands there, a reading of both sides every 50 ms, until the test is over or it is told to stand elsewhere. */
  carriageStandsAt(takeup: string, positionMm: number): void;
}

export async function startWholePlant(siteText: string, clientDir?: string): Promise<WholePlant> {
  const [site, dataDir] = [agentSite(siteText), agentFolder()];
  const scope = { siteId: site.id, signalTopics: signalsOf(site).map(({ topic }) => topic) };
  const broker = createBroker({ dataDir, tcpPort: 0, wsPort: 'off', scope });
  const url = `mqtt://127.0.0.1:${(await broker.start()).tcpPort}`;
  onTestFinished(() => broker.stop());
  const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined };
  const agent = new Agent({
    id: 'edge',
    site,
    dataDir,
    broker: { url, ...(await signInOf(dataDir, 'agent')) },
    clock: WALL_CLOCK,
    log: quiet,
  });
  await agent.start();
  onTestFinished(() => agent.stop());
  const web = createWebServer({
    ...{ site, dataDir, port: 0, broker: { url, ...(await signInOf(dataDir, 'web')) } },
    alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS },
    openHistory: () => openSqliteReader({ dataDir }),
    readingSeries: (query) => readingSeries(() => openSqliteReader({ dataDir }), site, query),
    exportReadings: () => Promise.resolve(Readable.from([])),
    ...(clientDir === undefined ? {} : { clientDir }),
  });
  const started = await web.start();
  onTestFinished(() => web.stop());
  const sensors = await connectAsync(url, await signInOf(dataDir, 'sensor'));
  onTestFinished(() => sensors.endAsync());
  return { dataDir, agent, web: started, carriageStandsAt: standing(sensors) };
}

function standing(sensors: MqttClient): WholePlant['carriageStandsAt'] {
  const positions = new Map<string, number>();
  const timer = setInterval(() => {
    for (const [takeup, value] of positions)
      for (const side of ['left', 'right'])
        sensors.publish(inTopic(SITE_ID, `${takeup}/${side}/position`), JSON.stringify({ value, time: Date.now() }), { qos: 1 });
  }, 50);
  onTestFinished(() => clearInterval(timer));
  return (takeup, positionMm) => void positions.set(takeup, positionMm);
}
