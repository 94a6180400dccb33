import { fileURLToPath } from 'node:url';
import { WALL_CLOCK, type Clock } from '../../agent/process/clock.js';
import { TakelineFault } from '../../agent/process/fault.js';
import { createLifecycle, type Lifecycle, type OnStop } from '../../agent/process/lifecycle.js';
import type { UnansweredOut } from '../../agent/flow/page/page-output.js';
import type { Site } from '../../agent/site/site.js';
import type { StoreReader } from '../../agent/store/store.js';
import { SilenceLog } from './agent-silent/silence-log.js';
import { SilencePager } from './agent-silent/silence-pager.js';
import { alarmDesk } from './alarm-desk.js';
import { benchOn } from './bench/bench-on.js';
import { LazyHistory } from './lazy-history.js';
import { AgentLink, type BrokerAddress } from './live/agent-link.js';
import { LivePush } from './live/live-push.js';
import type { AskAgent } from './live/requests.js';
import { LivePicture, type LiveInput } from './logic/live-picture.js';
import { siteAnswer, type AlarmList } from './logic/site-answer.js';
import { takeupKey } from './logic/takeup-key.js';
import { People } from './people/people.js';
import { sessionKey } from './people/session-key.js';
import { createApp, type App } from './plugins/app.js';
import { guardRequests } from './plugins/headers.js';
import { answerProblems } from './plugins/problems.js';
import { serveScreens } from './plugins/screens.js';
import { keepSessions } from './plugins/sessions.js';
import { peopleRoutes } from './routes/people-routes.js';
import { rawRoutes, type ExportReadings } from './routes/raw-routes.js';
import { setUpRoutes, type SiteDesk } from './routes/set-up-routes.js';
import { sessionRoutes } from './routes/session-routes.js';
import { siteRoutes } from './routes/site-routes.js';
import { takeupRoutes } from './routes/takeup-routes.js';
import type { ReadingSeriesOf } from './series-desk.js';
import { workDesk } from './work-desk.js';

export interface WebServerOptions {
  readonly site: Site;
  /** The alarm list, which screens take limits and words from. */
  readonly alarmList: AlarmList;
  /** People, their passwords and the session key are kept below it. */
  readonly dataDir: string;
  /** Opens the store for reading; asked again where it fails. */
  readonly openHistory: () => Promise<StoreReader>;
  /** Gives raw readings as a recording. */
  readonly exportReadings: ExportReadings;
  /** Draws a short stretch from its raw readings. */
  readonly readingSeries: ReadingSeriesOf;
  readonly broker: BrokerAddress;
  /** The site file as the screens edit it; absent: they only show the site. */
  readonly siteDesk?: SiteDesk;
  /** Default 127.0.0.1: only this machine. */
  readonly host?: string;
  /** Default 8080; 0 takes a free one. */
  readonly port?: number;
  /** The site file's text as it was read, for the bench; absent where it is not known. */
  readonly siteText?: () => Promise<string>;
  /** Where the built screens are; default where `npm run build` puts them. */
  readonly clientDir?: string;
  readonly clock?: Clock;
  /** What an operator of the machine should know, a line at a time. */
  readonly log?: (line: string) => void;
}

export interface WebServerStarted {
  readonly url: string;
  readonly port: number;
  /** As long as the password made at the first start was not changed. */
  readonly firstPassword?: { readonly name: string; readonly password: string };
}

export type WebServer = Lifecycle<WebServerStarted>;

const DEFAULT_HOST = '127.0.0.1';
const DEFAULT_PORT = 8080;
/** The agent's silence is judged so often. */
const TICK_MS = 1000;

/**
 * The web server: screens, history, and the present pushed live.
 *
 * @returns `start` fails with a TakelineFault where the port is taken or the data folder is damaged; a broker that is away is waited for
 */
export function createWebServer(options: WebServerOptions): WebServer {
  return createLifecycle((onStop) => begin(options, onStop));
}

async function begin(options: WebServerOptions, onStop: OnStop): Promise<WebServerStarted> {
  const { site, dataDir, broker, host = DEFAULT_HOST, clock = WALL_CLOCK, log = () => undefined } = options;
  const known = new Set(site.conveyors.flatMap(({ id, takeups }) => takeups.map((takeup) => takeupKey(id, takeup.id))));
  const people = await People.open(dataDir);
  const history = new LazyHistory(options.openHistory);
  onStop('history', () => history.stop());
  const silences = await SilenceLog.open(dataDir, log);
  onStop('log of the agent’s silence', () => silences.write());
  const picture = new LivePicture(known, clock.nowMs(), silences.events);
  const app = createApp();
  onStop('http', () => app.close());

  await guardRequests(app);
  const sessions = await keepSessions(app, { people, key: await sessionKey(dataDir), siteId: site.id, clock });
  answerProblems(app, log);
  const push = new LivePush({ server: app.server, picture, whoIs: sessions.whoIs, clock });
  onStop('live push', () => push.stop());
  const hear = (input: LiveInput) => {
    const changed = picture.push(input);
    push.note(changed);
    if (changed.silence !== undefined) void silences.add(changed.silence);
    return changed;
  };
  const tellUnanswered = async ({ up, openMs, allowedMs }: UnansweredOut): Promise<void> => {
    const open = { forS: Math.round(openMs / 1000), allowedS: Math.round(allowedMs / 1000) };
    hear({ kind: 'silence-unanswered', atMs: clock.nowMs(), ...(up ? { open } : {}) });
    await silences.write();
  };
  const silencePager = await SilencePager.open({ site, dataDir, clock, log, tellUnanswered }, silences.events.length);
  const tellWork = (conveyor: string): void => push.tellWork(conveyor);
  const link = new AgentLink({ broker, siteId: site.id, clock, hear, tellWork, log });

  const ask: AskAgent = (verb, by, fields, request) => link.request(verb, by, fields, request);

  siteRoutes(app, { site: siteAnswer(site, options.alarmList), link: () => picture.linkState() });
  const endSession = (session: string): void => {
    sessions.end(session);
    push.endSession(session);
  };
  sessionRoutes(app, { people, endSession, endPerson: (name) => push.endPerson(name) });
  peopleRoutes(app, { people, endPerson: (name) => push.endPerson(name) });
  rawRoutes(app, { history, exportReadings: options.exportReadings });
  takeupRoutes(app, { history, site, known, readingSeries: options.readingSeries });
  const ownPaging = () => silencePager.known;
  await alarmDesk(app, { site, alarmList: options.alarmList, dataDir, history, picture, silences, clock, hear, ask, ownPaging, log });
  await workDesk(app, { site, known, dataDir, history, picture, clock, ask, tellWork, onStop });
  await benchOn(app, { ...options, clock, onStop });
  setUpRoutes(app, { history, ask, siteDesk: options.siteDesk, clock });
  await serveScreens(app, options.clientDir ?? fileURLToPath(new URL('../client', import.meta.url)));

  const port = await listen(app, host, options.port ?? DEFAULT_PORT);
  link.start();
  onStop('broker link', () => link.stop());
  const timer = setInterval(() => {
    hear({ kind: 'tick', atMs: clock.nowMs() });
    void silences.write();
    void silencePager.wake(silences.events);
  }, TICK_MS);
  onStop('ticks', () => clearInterval(timer));
  const firstPassword = await people.firstPassword();
  return {
    url: `http://${host.includes(':') ? `[${host}]` : host}:${port}`,
    port,
    ...(firstPassword === undefined ? {} : { firstPassword }),
  };
}

async function listen(app: App, host: string, port: number): Promise<number> {
  try {
    await app.listen({ host, port });
  } catch (error) {
    throw listenFault(error, host, port);
  }
  const address = app.server.address();
  if (address === null || typeof address === 'string') throw new Error('the web server listens on no port');
  return address.port;
}

function listenFault(error: unknown, host: string, port: number): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  switch (code) {
    case 'EADDRINUSE':
      return new TakelineFault('port-in-use', `Port ${port} of ${host} is in use: end what uses it, or choose another with --port.`);
    case 'EACCES':
      return new TakelineFault('port-forbidden', `This user may not listen on port ${port}: choose one above 1023 with --port.`);
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
      return new TakelineFault('host-unknown', `This machine has no address ${host}: give one of its own with --host.`);
    default:
      return error;
  }
}
