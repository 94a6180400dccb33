import { join } from 'node:path';
import { readFile } from 'node:fs/promises';
import { TakelineFault } from '../process/fault.js';
import { sayWhy } from '../process/say-why.js';
import { cutRecording, entryTextUntil } from '../replay/cut-recording.js';
import { keepCase } from '../replay/keep-case.js';
import { checkCase, entriesOf, findCases, siteOf } from '../replay/replay-cases.js';
import { signalsOf } from '../site/site.js';
import { parseTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, textOf, wrongUsage, type Parsed } from './options.js';

const USAGE = `takeline fixture SITE RECORDING --name NAME [--service FILE] [--from TIME] [--to TIME] [--into DIR] [--teaches TEXT]
takeline fixture --check DIR

keeps a stretch of a recording as a test: a folder with the site, the readings, the service entries and what a replay of them
says today. Look through what is expected before you trust it; from then on every change of it is noticed
  SITE            the site file
  RECORDING       CSV, .csv.gz or Parquet
  --name NAME     of the folder: small letters, digits and hyphens
  --service FILE  service entries as JSON lines; those up to --to are kept
  --from TIME     the first and the last reading that is kept, ISO 8601 with an offset; 2 MB at most
  --to TIME
  --into DIR      the folder of fixtures; default fixtures/replay
  --teaches TEXT  what it teaches, in a sentence or two
  --check DIR     replays every fixture below DIR, or the one in it, and shows what differs: - expected, + found

exit code: 0 kept, or all as expected; 1 something differs or a file cannot be used; 2 wrong usage`;

/** `takeline fixture`: keeps a stretch of a recording as a test, and checks those that were kept. */
export const fixtureCommand: Command = { usage: USAGE, run };

const text = { type: 'string' } as const;
const OPTIONS = { name: text, service: text, from: text, to: text, into: text, teaches: text, check: text };
/** So many differing lines of one file are shown. */
const LINES_SHOWN = 20;

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const parsed = parseOptions('fixture', USAGE, args, OPTIONS, io);
  if (typeof parsed === 'number') return parsed;
  const root = textOf(parsed, 'check');
  if (root !== undefined) return parsed.positionals.length === 0 ? check(root, io) : wrongUsage('fixture', '--check DIR stands alone', io);
  const [site, recording, extra] = parsed.positionals;
  if (site === undefined || recording === undefined) return wrongUsage('fixture', 'a site file and a recording are needed', io);
  if (extra !== undefined) return wrongUsage('fixture', `one recording at a time: what is ${extra}?`, io);
  const name = textOf(parsed, 'name');
  if (name === undefined) return wrongUsage('fixture', '--name NAME is needed', io);
  const [fromMs, toMs] = [timeOf(parsed, 'from', -Infinity), timeOf(parsed, 'to', Infinity)];
  if (fromMs === undefined || toMs === undefined)
    return wrongUsage('fixture', '--from and --to take a time with its offset, such as 2026-01-05T06:00:00Z', io);
  if (toMs < fromMs) return wrongUsage('fixture', '--to must not be before --from', io);
  return keep({ site, recording, name, fromMs, toMs, parsed }, io);
}

interface Asked {
  readonly site: string;
  readonly recording: string;
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly parsed: Parsed;
}

async function keep({ site: sitePath, recording, name, fromMs, toMs, parsed }: Asked, io: CommandIo): Promise<number> {
  const site = await siteOf(sitePath);
  const service = textOf(parsed, 'service');
  // Told with the file that the person named, not with the copy.
  if (service !== undefined) await entriesOf(service, site);
  const known = signalsOf(site).map((signal) => signal.name);
  const teaches = textOf(parsed, 'teaches');
  const { folder, result } = await keepCase(
    {
      name,
      siteText: await siteTextOf(sitePath),
      recordingText: await cutRecording(recording, known, fromMs, toMs),
      serviceText: service === undefined ? '' : await entryTextUntil(service, toMs),
      ...(teaches === undefined ? {} : { teaches }),
    },
    textOf(parsed, 'into') ?? join('fixtures', 'replay'),
  );
  const raised = result.alarms.filter(({ change }) => change === 'raised').length;
  io.out(`${String(result.readings)} readings, ${String(raised)} alarms raised, ${String(result.findings.length)} findings`);
  io.out(`kept in ${folder}; look through expected/ before you trust it`);
  return 0;
}

async function siteTextOf(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new TakelineFault('site-unreadable', `${path}: the site file cannot be read (${sayWhy(error)})`);
  }
}

async function check(root: string, io: CommandIo): Promise<number> {
  let differing = 0;
  const cases = await findCases(root);
  for (const one of cases) {
    const differences = await checkCase(one);
    io.out(`${one.name}: ${differences.length === 0 ? 'as expected' : 'differs'}`);
    for (const { file, lines } of differences) {
      io.out(`  ${file}`);
      for (const line of lines.slice(0, LINES_SHOWN)) io.out(`    ${line}`);
      if (lines.length > LINES_SHOWN) io.out(`    … and ${String(lines.length - LINES_SHOWN)} lines more`);
    }
    if (differences.length > 0) differing++;
  }
  io.out(`${String(cases.length - differing)} of ${String(cases.length)} as expected`);
  return differing === 0 ? 0 : 1;
}

/** @returns undefined where it is no time */
function timeOf(parsed: Parsed, option: string, fallback: number): number | undefined {
  const given = textOf(parsed, option);
  return given === undefined ? fallback : parseTime(given);
}
