import { ANY_SITE } from '../contract/topics.js';
import { DEFAULT_HOST, DEFAULT_TCP_PORT, DEFAULT_WS_PORT } from '../../broker/broker-options.js';
import { createBroker } from '../../broker/broker.js';
import { WALL_CLOCK } from '../process/clock.js';
import { lineLog } from '../process/log.js';
import { secretFile } from '../process/secrets.js';
import { untilStopped } from '../process/until-stopped.js';
import { signalsOf } from '../site/site.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, portOf, readSiteOrTell, textOf, wrongUsage } from './options.js';

const USAGE = `takeline broker [--site FILE] [--data DIR] [--host ADDRESS] [--port PORT] [--ws-port PORT]

runs the MQTT 3.1.1 broker alone, for when agent and web are on other machines
  --site FILE     opens the topics of this site and of its signals alone; without it, the default topics of every site
  --data DIR      where sessions, retained messages and credentials are kept; default ./data
  --host ADDRESS  where to listen; default ${DEFAULT_HOST}, this machine alone. The connections are not encrypted:
                  beyond this machine, listen only in a network of the plant's own
  --port PORT     MQTT over TCP; default ${String(DEFAULT_TCP_PORT)}
  --ws-port PORT  MQTT over WebSocket; default ${String(DEFAULT_WS_PORT)}

Sensors sign in as "sensor" with the password in DIR/secrets/sensor.txt, agent and web as "agent" and "web" likewise;
the passwords are made at the first start. To change them, edit them there, delete DIR/credentials.json, start again.

exit code: 0 stopped by Ctrl-C or SIGTERM, 1 a port, the data folder or the site file cannot be used, 2 wrong usage`;

/** `takeline broker`: the embedded broker alone. */
export const brokerCommand: Command = { usage: USAGE, run };

const OPTIONS = {
  site: { type: 'string' },
  data: { type: 'string' },
  host: { type: 'string' },
  port: { type: 'string' },
  'ws-port': { type: 'string' },
} as const;

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('broker', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  if (parsed.positionals.length > 0) return wrongUsage('broker', `what is ${parsed.positionals.join(' ')}?`, io);
  const sitePath = textOf(parsed, 'site');
  const site = sitePath === undefined ? undefined : await readSiteOrTell(sitePath, io);
  if (sitePath !== undefined && site === undefined) return 1;
  const dataDir = textOf(parsed, 'data') ?? 'data';
  const host = textOf(parsed, 'host') ?? DEFAULT_HOST;
  const log = lineLog(WALL_CLOCK, (line) => {
    io.err(line);
  });
  const broker = createBroker({
    dataDir,
    host,
    tcpPort: portOf(parsed, 'port', DEFAULT_TCP_PORT),
    wsPort: portOf(parsed, 'ws-port', DEFAULT_WS_PORT),
    scope: site ? { siteId: site.id, signalTopics: signalsOf(site).map(({ topic }) => topic) } : { siteId: ANY_SITE, signalTopics: [] },
    log: (line) => {
      log.warn(line);
    },
  });
  const stopped = untilStopped();
  const { tcpPort, wsPort } = await broker.start();
  io.out(`broker of ${site?.name ?? 'every site'}: mqtt://${host}:${String(tcpPort)} and ws://${host}:${String(wsPort ?? 0)}`);
  io.out(`passwords: ${secretFile(dataDir, 'sensor')} and its neighbours; stop with Ctrl-C`);
  await stopped;
  await broker.stop();
  return 0;
}
