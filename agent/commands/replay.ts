import { basename } from 'node:path';
import { entriesOf } from '../replay/replay-cases.js';
import { importMapOf, openForeign } from '../replay/open-foreign.js';
import { replay, type OpenReadings } from '../replay/replay.js';
import { writeReplay } from '../replay/write-replay.js';
import type { ForeignRecording } from '../recording/foreign/foreign-recording.js';
import { formatTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { noteLines } from './note-lines.js';
import { parseOptions, readSiteOrTell, textOf, wrongUsage } from './options.js';
import { progressLine } from './progress.js';

const USAGE = `takeline replay SITE RECORDING [--service FILE] [--map MAP] [--out DIR]

runs a recording through the pipeline that the agent runs, as fast as it goes, on the recording's own clock
  SITE            the site file
  RECORDING       CSV, .csv.gz or Parquet with the columns time,signal,value
  --service FILE  service entries as JSON lines
  --map MAP       RECORDING is in somebody else's form, which MAP describes (see takeline import --help)
  --out DIR       where alarms.jsonl, settled.csv, findings.jsonl, rejects.csv and summary.json are written;
                  default: a folder named after the recording, with .replay behind it, where you stand

exit code: 0 done, 1 a file cannot be used, 2 wrong usage`;

/** `takeline replay`: a recording through the very pipeline that the agent runs. */
export const replayCommand: Command = { usage: USAGE, run };

interface Asked {
  readonly site: string;
  readonly recording: string;
  readonly service: string | undefined;
  readonly map: string | undefined;
  readonly out: string;
}

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('replay', USAGE, args, { service: { type: 'string' }, map: { type: 'string' }, out: { type: 'string' } }, io);
  if (typeof parsed === 'number') return parsed;
  const [site, recording, extra] = parsed.positionals;
  if (site === undefined || recording === undefined) return wrongUsage('replay', 'a site file and a recording are needed', io);
  if (extra !== undefined) return wrongUsage('replay', `one recording at a time: what is ${extra}?`, io);
  const out = textOf(parsed, 'out') ?? `${basename(recording)}.replay`;
  return runReplay({ site, recording, service: textOf(parsed, 'service'), map: textOf(parsed, 'map'), out }, io);
}

async function runReplay(asked: Asked, io: CommandIo): Promise<number> {
  const site = await readSiteOrTell(asked.site, io);
  if (site === undefined) return 1;
  const entries = asked.service === undefined ? [] : await entriesOf(asked.service, site);
  const map = asked.map === undefined ? undefined : await importMapOf(asked.map, site);
  let foreign: ForeignRecording | undefined;
  const from: string | OpenReadings =
    map === undefined ? asked.recording : (_known, onReject) => (foreign = openForeign(asked.recording, map, site, onReject));
  const progress = progressLine();
  const result = await replay(site, from, {
    entries,
    onProgress: (share, timeMs) => {
      progress.show(share, Number.isFinite(timeMs) ? formatTime(Math.round(timeMs)) : '');
    },
  });
  progress.clear();
  await writeReplay(result, asked.out);
  const rejected = Object.entries(result.rejected).filter(([, count]) => count > 0);
  const span = Number.isFinite(result.firstMs)
    ? `${formatTime(result.firstMs)} to ${formatTime(result.lastMs)}`
    : 'none of them of a signal of this site';
  io.out(`${String(result.readings)} readings, ${span}`);
  io.out(`not used: ${rejected.length === 0 ? 'none' : rejected.map(([reason, count]) => `${String(count)} ${reason}`).join(', ')}`);
  if (foreign !== undefined) for (const line of noteLines(foreign.notes)) io.out(line);
  io.out(
    `${String(result.alarms.filter(({ change }) => change === 'raised').length)} alarms raised, ${String(result.findings.length)} findings`,
  );
  io.out(`written to ${asked.out}`);
  return 0;
}
