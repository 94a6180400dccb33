import { createBroker } from '../../broker/broker.js';
import { createLifecycle, type Lifecycle, type OnStop } from '../process/lifecycle.js';
import { formatTime } from '../units/time.js';
import { progressLine } from './progress.js';
import { RunningParts } from './running-parts.js';
import type { StationOptions } from './station-options.js';
import { ownTopicsOf } from './site-desk.js';
import { seedHistory } from '../demo/seed-history.js';

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
  const { site } = options;
  const brokerUrl = options.brokerUrl ?? (await beginBroker(options, onStop));
  if (options.demo) await seed(options);

  const running = new RunningParts(options, brokerUrl);
  onStop('agent, web and simulated plant', () => running.stop());
  const { url, firstPassword } = await running.start(site, options.siteText);
  const signIn = firstPassword
    ? `${firstPassword.name}, password ${firstPassword.password}`
    : 'engineer, with the password you gave yourself';
  return { url, signIn, brokerUrl };
}

async function beginBroker(options: StationOptions, onStop: OnStop): Promise<string> {
  const { site, dataDir, host, log } = options;
  const broker = createBroker({
    dataDir,
    host,
    tcpPort: options.tcpPort,
    wsPort: options.wsPort,
    scope: {
      siteId: site.id,
      signalTopics: ownTopicsOf(site),
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
