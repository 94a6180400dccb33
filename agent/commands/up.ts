import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Command, CommandIo } from './command.js';
import { parseOptions, portOf, readSiteOrTell, textOf, type Parsed } from './options.js';
import { RETENTION_OPTIONS, RETENTION_USAGE, retentionOf } from './retention-options.js';
import { WALL_CLOCK } from '../process/clock.js';
import { lineLog } from '../process/log.js';
import { untilStopped } from '../process/until-stopped.js';
import { DEMO_SITE_FILE } from '../demo/demo-site.js';
import { readSiteText } from '../site/read-site-file.js';
import type { Site } from '../site/site.js';
import { createStation } from './station.js';
import type { StationOptions } from './station-options.js';

const USAGE = `takeline up [--site FILE] [--data DIR] [--simulate] [options]

broker, agent and web in one process; with no site file, the demo site with its simulated plant and its history
  --site FILE      the site file
  --data DIR       where everything is kept; default ./data
  --simulate       a simulated plant publishes the site's readings
  --host ADDRESS   where broker and web listen; default 127.0.0.1, this machine alone
  --port PORT      of the web pages; default 8080
  --mqtt-port PORT of the broker; default 1883
  --ws-port PORT   of the broker over WebSocket; default 1884
  --broker URL     an outside broker instead of the embedded one; its sign-in comes from
                   TAKELINE_BROKER_USER and TAKELINE_BROKER_PASSWORD
${RETENTION_USAGE}

exit code: 0 stopped by Ctrl-C or SIGTERM, 1 something cannot be used, 2 wrong usage`;

/** `takeline up`: everything in one process. */
export const upCommand: Command = { usage: USAGE, run };

const OPTIONS = {
  site: { type: 'string' },
  data: { type: 'string' },
  simulate: { type: 'boolean' },
  host: { type: 'string' },
  port: { type: 'string' },
  'mqtt-port': { type: 'string' },
  'ws-port': { type: 'string' },
  broker: { type: 'string' },
  ...RETENTION_OPTIONS,
} as const;

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('up', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  const sitePath = textOf(parsed, 'site');
  // The demo's own file lies with the program: changed from the screens, it is kept with the data and read from there.
  const kept = sitePath ?? join(textOf(parsed, 'data') ?? 'data', 'site.yaml');
  const from = sitePath ?? (existsSync(kept) ? kept : DEMO_SITE_FILE);
  const site = await readSiteOrTell(from, io);
  if (site === undefined) return 1;
  const file = { siteText: await readSiteText(from), sitePath: kept };
  const abort = new AbortController();
  const station = createStation({ ...optionsOf(parsed, site, sitePath === undefined, abort.signal, io), ...file });
  // From here on Ctrl-C stops what has begun, also while it is still beginning.
  const stopped = untilStopped();
  const started = station.start();
  const first = await Promise.race([started, stopped.then(() => undefined)]);
  if (first !== undefined) {
    io.out(`${site.name} is watched.`);
    io.out(`Pages:   ${first.url}`);
    io.out(`Sign in: ${first.signIn}`);
    io.out(`Broker:  ${first.brokerUrl}`);
    io.out('Stop with Ctrl-C. Takeline is not a safety device and stops nothing.');
    await stopped;
  }
  abort.abort();
  started.catch(() => undefined);
  await station.stop();
  return 0;
}

function optionsOf(
  parsed: Parsed,
  site: Site,
  demo: boolean,
  signal: AbortSignal,
  io: CommandIo,
): Omit<StationOptions, 'siteText' | 'sitePath'> {
  const broker = textOf(parsed, 'broker');
  return {
    site,
    demo,
    simulate: demo || parsed.values['simulate'] === true,
    dataDir: textOf(parsed, 'data') ?? 'data',
    host: textOf(parsed, 'host') ?? '127.0.0.1',
    webPort: portOf(parsed, 'port', 8080),
    tcpPort: portOf(parsed, 'mqtt-port', 1883),
    wsPort: portOf(parsed, 'ws-port', 1884),
    ...(broker === undefined ? {} : { brokerUrl: broker }),
    clock: WALL_CLOCK,
    retention: retentionOf(parsed),
    log: lineLog(WALL_CLOCK, io.err),
    io,
    signal,
  };
}
