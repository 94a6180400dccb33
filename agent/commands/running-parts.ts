import { createWebServer, type WebServer, type WebServerStarted } from '../../web/server/web-server.js';
import { Agent } from '../agent.js';
import { createLivePlant } from '../demo/live-plant.js';
import { ALARM_DEFINITIONS } from '../flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../flow/alarm/texts.js';
import { signInOf } from '../process/secrets.js';
import { exportStream } from '../live/export-readings.js';
import { readingSeries } from '../live/reading-series.js';
import type { Site } from '../site/site.js';
import { openSqliteReader } from '../store/sqlite-reader.js';
import { keepSite, ownTopicsOf, siteDeskOf } from './site-desk.js';
import type { StationOptions } from './station-options.js';

/** Whoever changed the site file hears that it was taken before what answers them begins anew. */
const ANSWERED_MS = 400;

interface Stoppable {
  stop(): Promise<void>;
}

/**
 * What hangs on the site file: agent, web server, and the simulated plant. With another site file they begin anew, the broker and
 * everybody connected to it staying; the agent goes on from its checkpoint, the screens come back by themselves.
 */
export class RunningParts {
  private running: Stoppable[] = [];
  private site: Site;
  private text: string;
  private port: number;
  /** One change after the other, and none once it stops. */
  private turn: Promise<unknown> = Promise.resolve();
  private stopping = false;
  private waiting: NodeJS.Timeout | undefined;

  constructor(
    private readonly options: StationOptions,
    private readonly brokerUrl: string,
  ) {
    this.site = options.site;
    this.text = options.siteText;
    this.port = options.webPort;
  }

  async start(site: Site, text: string): Promise<WebServerStarted> {
    this.site = site;
    this.text = text;
    const { dataDir, clock, log, retention } = this.options;
    const brokerOf = async (role: 'agent' | 'web' | 'sensor') => ({ url: this.brokerUrl, ...(await signInOf(dataDir, role)) });
    const agent = new Agent({ site, dataDir, clock, log, retention, broker: await brokerOf('agent'), siteFile: this.siteFile(text) });
    this.running.unshift(agent);
    await agent.start();

    const web = this.webServer(site, text, await brokerOf('web'));
    this.running.unshift(web);
    const started = await web.start();
    // A port that was chosen freely stays the same through a change: screens look for it there.
    this.port = started.port;

    if (this.options.simulate) {
      const plant = createLivePlant({ site, demo: this.options.demo, dataDir, clock, log, broker: await brokerOf('sensor') });
      this.running.unshift(plant);
      await plant.start();
    }
    return started;
  }

  async stop(): Promise<void> {
    this.stopping = true;
    clearTimeout(this.waiting);
    await this.turn.catch(() => undefined);
    await this.stopParts();
  }

  private webServer(site: Site, text: string, broker: { readonly url: string }): WebServer {
    const { dataDir, host, clock, log } = this.options;
    return createWebServer({
      ...{ site, dataDir, broker, host, port: this.port, clock },
      alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS },
      openHistory: () => openSqliteReader({ dataDir }),
      siteDesk: siteDeskOf(site, text),
      siteText: () => Promise.resolve(text),
      exportReadings: async (query, form) => exportStream(await openSqliteReader({ dataDir }), query, form),
      readingSeries: (query) => readingSeries(() => openSqliteReader({ dataDir }), site, query),
      log: (line) => {
        log.info(line);
      },
    });
  }

  private siteFile(text: string) {
    return {
      text,
      keep: (next: string) => keepSite(this.options.sitePath, next),
      apply: {
        whyNot: (next: Site) =>
          ownTopicsOf(next).every((topic) => ownTopicsOf(this.options.site).includes(topic))
            ? undefined
            : 'a signal has a topic that the broker does not know yet: start Takeline again to apply it',
        begin: (next: Site, nextText: string) => {
          clearTimeout(this.waiting);
          this.waiting = setTimeout(() => {
            this.turn = this.turn.then(() => this.change(next, nextText));
          }, ANSWERED_MS);
        },
      },
    };
  }

  /** With a site that does not start after all, the one before is started again, and stands on the disk for the next start. */
  private async change(site: Site, text: string): Promise<void> {
    if (this.stopping) return;
    const { log } = this.options;
    const before = { site: this.site, text: this.text };
    await this.stopParts();
    try {
      await this.start(site, text);
      log.info('the changed site file is in force');
    } catch (error) {
      log.error(`the changed site file could not be put in force: ${error instanceof Error ? error.message : String(error)}`);
      await this.stopParts();
      await this.start(before.site, before.text);
      await keepSite(this.options.sitePath, before.text);
    }
  }

  private async stopParts(): Promise<void> {
    const { running } = this;
    this.running = [];
    for (const part of running) await part.stop();
  }
}
