import { hearReading, readingTopics } from '../live/reading-topics.js';
import { BrokerLink } from '../io/broker-link.js';
import { WALL_CLOCK } from '../process/clock.js';
import { lineLog } from '../process/log.js';
import { signInOf } from '../process/secrets.js';
import { untilStopped } from '../process/until-stopped.js';
import { createRecordingWriter } from '../recording/create-recording-writer.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, readSiteOrTell, textOf, wrongUsage } from './options.js';

const USAGE = `takeline record --site FILE --out FILE [--data DIR] [--broker URL]

writes live readings to a recording until it is stopped
  --site FILE    the site file
  --out FILE     the recording: .csv, .csv.gz or .parquet by its name
  --data DIR     where the broker's sign-in is kept; default ./data
  --broker URL   default mqtt://127.0.0.1:1883

exit code: 0 stopped by Ctrl-C or SIGTERM and the recording is whole, 1 something cannot be used, 2 wrong usage`;

/** `takeline record`: live readings into a recording that `takeline replay` takes. */
export const recordCommand: Command = { usage: USAGE, run };

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const options = { site: { type: 'string' }, out: { type: 'string' }, data: { type: 'string' }, broker: { type: 'string' } } as const;
  const parsed = parseOptions('record', USAGE, args, options, io);
  if (typeof parsed === 'number') return parsed;
  const [sitePath, out] = [textOf(parsed, 'site'), textOf(parsed, 'out')];
  if (sitePath === undefined || out === undefined) return wrongUsage('record', '--site FILE and --out FILE are needed', io);
  const site = await readSiteOrTell(sitePath, io);
  if (site === undefined) return 1;
  const feeds = readingTopics(site);
  const log = lineLog(WALL_CLOCK, (line) => {
    io.err(line);
  });
  const writer = await createRecordingWriter(out);
  let rows = 0;
  const link = new BrokerLink({
    url: textOf(parsed, 'broker') ?? 'mqtt://127.0.0.1:1883',
    ...(await signInOf(textOf(parsed, 'data') ?? 'data', 'agent')),
    clientId: `takeline-record-${site.id}-${String(process.pid)}`,
    keepSession: false,
    topics: [...feeds.keys()],
    take: ({ topic, payload, retained }) => {
      const writes = (feeds.get(topic) ?? []).flatMap((feed) => {
        const { decoded, ownTime } = hearReading(feed, payload, WALL_CLOCK.nowMs());
        // What the broker kept may be of any age, unless it says its own.
        if (!decoded.ok || (retained && !ownTime)) return [];
        rows++;
        const written = writer.write(decoded.timeMs, feed.name, decoded.raw);
        return written === undefined ? [] : [written];
      });
      return writes.length === 0 ? undefined : Promise.all(writes).then(() => undefined);
    },
    onState: (connected, why) => {
      if (!connected) log.warn(`broker: ${why}`);
    },
  });
  const stopped = untilStopped();
  try {
    await link.start();
  } catch (error) {
    await writer.discard();
    throw error;
  }
  io.out(`recording ${String(feeds.size)} topics to ${out}; stop with Ctrl-C`);
  await stopped;
  await link.stop();
  await writer.close();
  io.out(`${String(rows)} readings in ${out}`);
  return 0;
}
