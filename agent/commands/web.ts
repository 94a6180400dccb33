import { readFile } from 'node:fs/promises';
import { createWebServer } from '../../web/server/web-server.js';
import { ALARM_DEFINITIONS } from '../flow/alarm/definitions.js';
import { ALARM_TEXTS } from '../flow/alarm/texts.js';
import { WALL_CLOCK } from '../process/clock.js';
import { lineLog } from '../process/log.js';
import { signInOf } from '../process/secrets.js';
import { untilStopped } from '../process/until-stopped.js';
import { exportStream } from '../live/export-readings.js';
import { readingSeries } from '../live/reading-series.js';
import { openSqliteReader } from '../store/sqlite-reader.js';
import type { Command, CommandIo } from './command.js';
import { siteDeskOf } from './site-desk.js';
import { readSiteText } from '../site/read-site-file.js';
import { parseOptions, portOf, readSiteOrTell, textOf, wrongUsage } from './options.js';

const USAGE = `takeline web --site FILE [--data DIR] [--broker URL] [--host ADDRESS] [--port PORT]

serves the screens: the present from the broker, the past from the store in DIR
  --site FILE      the site file
  --data DIR       where people and keys are kept and history is read; default ./data
  --broker URL     default mqtt://127.0.0.1:1883; the sign-in comes from TAKELINE_BROKER_USER and
                   TAKELINE_BROKER_PASSWORD, else from DIR/secrets/web.txt, which the embedded broker makes
  --host ADDRESS   where to listen; default 127.0.0.1, this machine alone
  --port PORT      default 8080; 0 takes a free one

exit code: 0 stopped by Ctrl-C or SIGTERM, 1 port, data folder or site file cannot be used, 2 wrong usage`;

const OPTIONS = {
  site: { type: 'string' },
  data: { type: 'string' },
  broker: { type: 'string' },
  host: { type: 'string' },
  port: { type: 'string' },
} as const;

/** `takeline web`: the screens alone, for another machine than the agent's. */
export const webCommand: Command = { usage: USAGE, run };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('web', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  const sitePath = textOf(parsed, 'site');
  if (sitePath === undefined) return wrongUsage('web', '--site FILE is needed', io);
  const port = portOf(parsed, 'port', 8080);
  const site = await readSiteOrTell(sitePath, io);
  if (site === undefined) return 1;
  const dataDir = textOf(parsed, 'data') ?? 'data';
  const url = textOf(parsed, 'broker') ?? 'mqtt://127.0.0.1:1883';
  const log = lineLog(WALL_CLOCK, (line) => io.err(line));
  const server = createWebServer({
    site,
    alarmList: { definitions: ALARM_DEFINITIONS, texts: ALARM_TEXTS },
    dataDir,
    openHistory: () => openSqliteReader({ dataDir }),
    siteText: () => readFile(sitePath, 'utf8'),
    exportReadings: async (query, form) => exportStream(await openSqliteReader({ dataDir }), query, form),
    readingSeries: (query) => readingSeries(() => openSqliteReader({ dataDir }), site, query),
    siteDesk: siteDeskOf(site, await readSiteText(sitePath)),
    broker: { url, ...(await signInOf(dataDir, 'web')) },
    host: textOf(parsed, 'host') ?? '127.0.0.1',
    port,
    clock: WALL_CLOCK,
    log: (line) => log.info(line),
  });
  const stopped = untilStopped();
  const { url: address, firstPassword } = await server.start();
  io.out(`Pages of ${site.name}: ${address}`);
  if (firstPassword !== undefined) io.out(`Sign in: ${firstPassword.name}, password ${firstPassword.password} (change it once signed in)`);
  io.out('Stop with Ctrl-C. Takeline is not a safety device and stops nothing.');
  await stopped;
  await server.stop();
  return 0;
}
