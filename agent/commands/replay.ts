import { basename } from 'node:path';
import { parseArgs } from 'node:util';
import type { ServiceEntry } from '../contract/service-entry.js';
import { impossibleEntries } from '../flow/ledger/impossible.js';
import { TakelineFault } from '../process/fault.js';
import { readServiceEntries } from '../recording/service-entries.js';
import { replay } from '../replay/replay.js';
import { writeReplay } from '../replay/write-replay.js';
import { formatFault } from '../site/format-fault.js';
import { readSiteFile } from '../site/read-site-file.js';
import type { Site } from '../site/site.js';
import { formatTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { progressLine } from './progress.js';

const USAGE = `takeline replay SITE RECORDING [--service FILE] [--out DIR]

runs a recording through the pipeline that the agent runs, as fast as it goes, on the recording's own clock
  SITE            the site file
  RECORDING       CSV, .csv.gz or Parquet with the columns time,signal,value
  --service FILE  service entries as JSON lines
  --out DIR       where alarms.jsonl, settled.csv, findings.jsonl, rejects.csv and summary.json are written;
                  default: a folder named after the recording, with .replay behind it, where you stand

exit code: 0 done, 1 a file cannot be used, 2 wrong usage`;

/** `takeline replay`: a recording through the very pipeline that the agent runs. */
export const replayCommand: Command = {
  name: 'replay',
  summary: 'runs a recording through the pipeline and writes what it finds',
  usage: USAGE,
  run,
};

interface Asked {
  readonly site: string;
  readonly recording: string;
  readonly service: string | undefined;
  readonly out: string;
}

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const asked = parse(args);
  if (asked === 'help') {
    USAGE.split('\n').forEach((line) => {
      io.out(line);
    });
    return 0;
  }
  if (typeof asked === 'string') {
    io.err(`takeline replay: ${asked}`);
    io.err('usage: takeline replay SITE RECORDING [--service FILE] [--out DIR] (see takeline replay --help)');
    return 2;
  }
  try {
    return await runReplay(asked, io);
  } catch (error) {
    if (!(error instanceof TakelineFault)) throw error;
    io.err(error.message);
    return error.exitCode;
  }
}

async function runReplay(asked: Asked, io: CommandIo): Promise<number> {
  const reading = await readSiteFile(asked.site);
  if (!reading.ok) {
    for (const fault of reading.faults) io.err(formatFault(fault));
    return 1;
  }
  const entries = asked.service === undefined ? [] : await entriesOf(asked.service, reading.site);
  const progress = progressLine();
  const result = await replay(reading.site, asked.recording, {
    entries,
    onProgress: (share, timeMs) => {
      progress.show(share, formatTime(Math.round(timeMs)));
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
  io.out(
    `${String(result.alarms.filter(({ change }) => change === 'raised').length)} alarms raised, ${String(result.findings.length)} findings`,
  );
  io.out(`written to ${asked.out}`);
  return 0;
}

/** The service entries of a file. @throws TakelineFault with file and line for one that cannot be read or cannot be true */
async function entriesOf(path: string, site: Site): Promise<readonly ServiceEntry[]> {
  const found = await readServiceEntries(path, site);
  const entries = found.map(({ entry }) => entry);
  for (const conveyor of site.conveyors) {
    const [impossible] = impossibleEntries(conveyor, entries);
    if (impossible === undefined) continue;
    const line =
      found.find(({ entry }) => entry === impossible.entry || (entry.id !== undefined && entry.id === impossible.entry.id))?.line ?? 1;
    throw new TakelineFault('service-entry-refused', `${path}:${String(line)}: ${impossible.message}`);
  }
  return entries;
}

/** What is asked for, `help`, or what is wrong with how it is asked. */
function parse(args: readonly string[]): Asked | string {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: { help: { type: 'boolean', short: 'h' }, service: { type: 'string' }, out: { type: 'string' } },
    });
    if (values.help === true) return 'help';
    const [site, recording, extra] = positionals;
    if (site === undefined || recording === undefined) return 'a site file and a recording are needed';
    if (extra !== undefined) return `one recording at a time: what is ${extra}?`;
    return { site, recording, service: values.service, out: values.out ?? `${basename(recording)}.replay` };
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
}
