import { Agent } from '../agent.js';
import { WALL_CLOCK } from '../process/clock.js';
import { lineLog } from '../process/log.js';
import { keepOldHeapSmall, keepYoungHeapSmall } from '../process/small-heap.js';
import { signInOf } from '../process/secrets.js';
import { untilStopped } from '../process/until-stopped.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, textOf, wrongUsage } from './options.js';
import { siteAtStart } from './remembered-site.js';
import { RETENTION_OPTIONS, RETENTION_USAGE, retentionOf } from './retention-options.js';
import { keepSite } from './site-desk.js';

const USAGE = `takeline agent --site FILE [--data DIR] [--broker URL] [--id NAME]

reads the site's signals from the broker, and publishes state, alarms and findings
  --site FILE    the site file
  --data DIR     where journal, history and state are kept; default ./data
  --broker URL   default mqtt://127.0.0.1:1883; the sign-in comes from TAKELINE_BROKER_USER and
                 TAKELINE_BROKER_PASSWORD, else from DIR/secrets/agent.txt, which the embedded broker makes
  --id NAME      names this agent among those of the site; default agent
${RETENTION_USAGE}

exit code: 0 stopped by Ctrl-C or SIGTERM, 1 store, broker or site file cannot be used, 2 wrong usage`;

/** `takeline agent`: the agent alone, for a machine at the conveyors. */
export const agentCommand: Command = { usage: USAGE, run };

const OPTIONS = {
  site: { type: 'string' },
  data: { type: 'string' },
  broker: { type: 'string' },
  id: { type: 'string' },
  ...RETENTION_OPTIONS,
} as const;

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('agent', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  keepYoungHeapSmall();
  const retention = retentionOf(parsed);
  const sitePath = textOf(parsed, 'site');
  if (sitePath === undefined) return wrongUsage('agent', '--site FILE is needed', io);
  const dataDir = textOf(parsed, 'data') ?? 'data';
  const read = await siteAtStart(sitePath, dataDir, io);
  if (read === undefined) return 1;
  const { site } = read;
  const url = textOf(parsed, 'broker') ?? 'mqtt://127.0.0.1:1883';
  const log = lineLog(WALL_CLOCK, (line) => {
    io.err(line);
  });
  const id = textOf(parsed, 'id');
  const broker = { url, ...(await signInOf(dataDir, 'agent')) };
  const siteFile = { text: read.text, keep: (text: string) => keepSite(sitePath, text) };
  const agent = new Agent({ site, siteFile, dataDir, broker, clock: WALL_CLOCK, log, retention, ...(id === undefined ? {} : { id }) });
  const stopped = untilStopped();
  keepOldHeapSmall();
  await agent.start();
  io.out(`agent of ${site.name}: ${String(site.conveyors.length)} conveyors, broker ${url}; stop with Ctrl-C`);
  await read.remember();
  await stopped;
  await agent.stop();
  return 0;
}
