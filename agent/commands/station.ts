import { readFile } from 'node:fs/promises';
import { createBroker } from '../../broker/broker.js';
import { createWebServer } from '../../web/server/web-server.js';
import { Agent } from '../agent.js';
import type { CommandIo } from './command.js';
import { ALARM_DEFINITIONS } from '../flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../flow/alarm/texts.js';
import type { Retention } from '../live/housekeeping.js';
import type { Clock } from '../process/clock.js';
import { createLifecycle, type Lifecycle, type OnStop } from '../process/lifecycle.js';
import type { Log } from '../process/log.js';
import { signInOf } from '../process/secrets.js';
import { signalsOf, type Site } from '../site/site.js';
import { formatTime } from '../units/time.js';
import { progressLine } from './progress.js';
import { exportStream } from '../live/export-readings.js';
import { openSqliteReader } from '../store/sqlite-reader.js';
import { createLivePlant } from '../demo/live-plant.js';
import { seedHistory } from '../demo/seed-history.js';

export interface StationOptions {
  readonly site: Site;
  /** Where its file is. */
  readonly siteFile: string;
  /** The site is the demo's: its history is made at the first start. */
  readonly demo: boolean;
  readonly simulate: boolean;
  readonly dataDir: string;
  readonly host: string;
  readonly webPort: number;
  readonly tcpPort: number;
  readonly wsPort: number;
  /** An outside broker; absent: the embedded one. */
  readonly brokerUrl?: string;
  readonly retention: Retention;
  readonly clock: Clock;
  readonly log: Log;
  readonly io: CommandIo;
  /** Cuts a long beginning short. */
  readonly signal: AbortSignal;
}

export interface StationStarted {
  readonly url: string;
  /** How to sign in, in a sentence. */
  readonly signIn: string;
  readonly brokerUrl: string;
}

/** Broker, agent and web in one process, and a simulated plant where one is asked for. */
export function createStation(options: StationOptions): Lifecycle<StationStarted> {
  return createLifecycle((onStop) => begin(options, onStop));
}

async function begin(options: StationOptions, onStop: OnStop): Promise<StationStarted> {
  const { site, dataDir, host, clock, log, retention } = options;
  const brokerUrl = options.brokerUrl ?? (await beginBroker(options, onStop));
  if (options.demo) await seed(options);

  const agent = new Agent({ site, dataDir, clock, log, retention, broker: { url: brokerUrl, ...(await signInOf(dataDir, 'agent')) } });
  onStop('agent', () => agent.stop());
  await agent.start();

  const web = createWebServer({
    site,
    alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS },
    dataDir,
    openHistory: () => openSqliteReader({ dataDir }),
    siteText: () => readFile(options.siteFile, 'utf8'),
    exportReadings: async (query, form) => exportStream(await openSqliteReader({ dataDir }), query, form),
    broker: { url: brokerUrl, ...(await signInOf(dataDir, 'web')) },
    host,
    port: options.webPort,
    clock,
    log: (line) => {
      log.info(line);
    },
  });
  onStop('web', () => web.stop());
  const { url, firstPassword } = await web.start();

  if (options.simulate) {
    const plant = createLivePlant({
      site,
      demo: options.demo,
      dataDir,
      clock,
      log,
      broker: { url: brokerUrl, ...(await signInOf(dataDir, 'sensor')) },
    });
    onStop('simulated plant', () => plant.stop());
    await plant.start();
  }
  const signIn = firstPassword
    ? `${firstPassword.name}, password ${firstPassword.password}`
    : 'engineer, with the password you gave yourself';
  return { url, signIn, brokerUrl };
}

async function beginBroker(options: StationOptions, onStop: OnStop): Promise<string> {
  const { site, dataDir, host, log } = options;
  const own = `takeline/${site.id}/in/`;
  const broker = createBroker({
    dataDir,
    host,
    tcpPort: options.tcpPort,
    wsPort: options.wsPort,
    scope: {
      siteId: site.id,
      signalTopics: signalsOf(site)
        .map(({ topic }) => topic)
        .filter((topic) => !topic.startsWith(own)),
    },
    log: (line) => {
      log.warn(`broker: ${line}`);
    },
  });
  onStop('broker', () => broker.stop());
  const { tcpPort } = await broker.start();
  return `mqtt://${host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host}:${String(tcpPort)}`;
}

async function seed({ site, dataDir, clock, signal, io }: StationOptions): Promise<void> {
  const progress = progressLine();
  const begun = clock.nowMs();
  const made = await seedHistory({
    site,
    dataDir,
    clock,
    signal,
    onProgress: (share, timeMs) => {
      progress.show(share, `history of ${site.name}: ${formatTime(timeMs).slice(0, 10)}`);
    },
  });
  progress.clear();
  if (made)
    io.out(
      `The history of ${site.name}, fourteen months of its simulated plant, was made in ${((clock.nowMs() - begun) / 1000).toFixed(0)} s.`,
    );
}
