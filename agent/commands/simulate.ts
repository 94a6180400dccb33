import { readFile } from 'node:fs/promises';
import { serviceEntryToJson, type ServiceEntry } from '../contract/service-entry.js';
import { TakelineFault } from '../process/fault.js';
import { sayWhy } from '../process/say-why.js';
import { writeWhole } from '../process/write-whole.js';
import { createRecordingWriter } from '../recording/create-recording-writer.js';
import { readServiceEntries } from '../recording/service-entries.js';
import { createPlant, type Plant } from '../simulate/plant.js';
import { presetScenario, PRESETS, type Span } from '../simulate/presets.js';
import { noPreset, readScenario } from '../simulate/read-scenario.js';
import type { PlantScenario } from '../simulate/scenario.js';
import { truthToJson } from '../simulate/truth-to-json.js';
import { withWorks } from '../simulate/with-works.js';
import { signalsOf, type Site } from '../site/site.js';
import { formatTime, parseTime } from '../units/time.js';
import type { Command, CommandIo } from './command.js';
import { parseOptions, readSiteOrTell, textOf, wrongUsage, type Parsed } from './options.js';
import { progressLine } from './progress.js';

const USAGE = `takeline simulate SITE --days N --out FILE [--seed S] [--start TIME] [--period SECONDS] [--scenario NAME|FILE.json] [--service FILE]

writes a recording of a simulated plant. Beside it go FILE.service.jsonl, what was written down of the work that was done,
and FILE.truth.json, what is really so: elongation, positions and forces of each day, every step and every fault
  SITE                the site file
  --days N            so many days; a part of one is fine
  --out FILE          the recording: .csv, .csv.gz or .parquet by its name
  --seed S            a whole number; the same one gives the same recording; default 1
  --start TIME        when it begins, with the chains as at their reference; default: the latest reference of the site
  --period SECONDS    no signal is read more often than this; default: as the site says
  --scenario NAME     what happens; default healthy. One of:
${PRESETS.map(({ name, summary }) => `      ${name.padEnd(18)}${summary}`).join('\n')}
  --scenario FILE     or a JSON file with what differs from one of these
  --service FILE      service entries as JSON lines: work that is done on the plant, too, each at its time

exit code: 0 done, 1 a file cannot be used, 2 wrong usage`;

/** `takeline simulate`: a recording of a simulated plant, with the truth beside it. */
export const simulateCommand: Command = { usage: USAGE, run };

const DAY_MS = 86_400_000;
/** Progress is drawn, and the disk waited for, so often. */
const STRETCH_MS = DAY_MS / 24;

interface Asked {
  readonly out: string;
  readonly seed: number;
  readonly span: Span;
  readonly periodS: number | undefined;
}

async function run(args: readonly string[], io: CommandIo): Promise<number> {
  const text = { type: 'string' } as const;
  const options = { days: text, out: text, seed: text, start: text, period: text, scenario: text, service: text };
  const parsed = parseOptions('simulate', USAGE, args, options, io);
  if (typeof parsed === 'number') return parsed;
  const [sitePath, extra] = parsed.positionals;
  if (sitePath === undefined) return wrongUsage('simulate', 'a site file is needed', io);
  if (extra !== undefined) return wrongUsage('simulate', `one site at a time: what is ${extra}?`, io);
  const usage = wrongOption(parsed);
  if (usage !== undefined) return wrongUsage('simulate', usage, io);
  const site = await readSiteOrTell(sitePath, io);
  if (site === undefined) return 1;
  const asked = askedOf(parsed, site);
  const scenario = await scenarioOf(textOf(parsed, 'scenario') ?? 'healthy', site, asked.span, io);
  if (scenario === undefined) return 1;
  const service = textOf(parsed, 'service');
  const done =
    service === undefined
      ? scenario
      : withWorks(
          scenario,
          (await readServiceEntries(service, site)).map(({ entry }) => entry),
        );
  return record(site, done, asked, io);
}

/** What is wrong with the options, in words. */
function wrongOption(parsed: Parsed): string | undefined {
  const positive = (option: string): boolean => textOf(parsed, option) === undefined || Number(textOf(parsed, option)) > 0;
  if (textOf(parsed, 'days') === undefined || textOf(parsed, 'out') === undefined) return '--days N and --out FILE are needed';
  if (!positive('days') || !Number.isFinite(Number(textOf(parsed, 'days')))) return '--days takes a number above 0';
  if (!positive('period') || textOf(parsed, 'period') === 'Infinity') return '--period takes seconds, a number above 0';
  if (!Number.isSafeInteger(Number(textOf(parsed, 'seed') ?? '1'))) return '--seed takes a whole number';
  const start = textOf(parsed, 'start');
  if (start !== undefined && parseTime(start) === undefined) return '--start takes a time with its offset, such as 2026-01-05T06:00:00Z';
  return undefined;
}

function askedOf(parsed: Parsed, site: Site): Asked {
  const start = textOf(parsed, 'start');
  const references = site.conveyors.flatMap(({ takeups }) => takeups.map(({ reference }) => reference.atMs));
  const fromMs = (start === undefined ? undefined : parseTime(start)) ?? Math.max(...references);
  const period = textOf(parsed, 'period');
  return {
    out: textOf(parsed, 'out') ?? '',
    seed: Number(textOf(parsed, 'seed') ?? '1'),
    span: { fromMs, toMs: Math.round(fromMs + Number(textOf(parsed, 'days')) * DAY_MS) },
    periodS: period === undefined ? undefined : Number(period),
  };
}

/** A preset by its name, or a scenario from a file. @returns undefined where it has faults, which are told */
async function scenarioOf(name: string, site: Site, span: Span, io: CommandIo): Promise<PlantScenario | undefined> {
  const preset = presetScenario(name, site, span);
  if (preset !== undefined) return preset;
  if (!name.endsWith('.json')) {
    io.err(`takeline simulate: ${noPreset(name)}; or give a file whose name ends in .json`);
    return undefined;
  }
  const reading = readScenario(await readJson(name), site, span);
  if (reading.ok) return reading.scenario;
  for (const fault of reading.faults) io.err(`${name}: ${fault}`);
  return undefined;
}

async function readJson(path: string): Promise<unknown> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new TakelineFault(
      'scenario-unreadable',
      `${path}: the scenario cannot be read (${sayWhy(error)}); check the name and its permissions`,
    );
  }
  try {
    return JSON.parse(text);
  } catch {
    throw new TakelineFault('scenario-unreadable', `${path}: this is not JSON; a scenario is one JSON object`);
  }
}

async function record(site: Site, scenario: PlantScenario, { out, seed, span, periodS }: Asked, io: CommandIo): Promise<number> {
  const settings = { seed, startMs: span.fromMs, ...(periodS === undefined ? {} : { readingPeriodS: periodS }) };
  const plant = createPlant(site, scenario, settings);
  const writer = await createRecordingWriter(out);
  const progress = progressLine();
  const entries: ServiceEntry[] = [];
  let rows = 0;
  try {
    for (let untilMs = span.fromMs; untilMs < span.toMs;) {
      untilMs = Math.min(span.toMs, untilMs + STRETCH_MS);
      let written: Promise<void> | undefined;
      // The last instant belongs to what comes after.
      plant.advanceTo(
        untilMs - 1,
        (timeMs, signal, raw) => {
          rows++;
          written = writer.write(timeMs, signal, raw) ?? written;
        },
        (entry) => entries.push(entry),
      );
      await written;
      progress.show((untilMs - span.fromMs) / (span.toMs - span.fromMs), formatTime(untilMs));
    }
    await writer.close();
  } catch (error) {
    await writer.discard();
    throw error;
  } finally {
    progress.clear();
  }
  await writeBeside(out, entries, plant);
  io.out(`${String(rows)} readings, ${formatTime(span.fromMs)} to ${formatTime(span.toMs)}, in ${out}`);
  if (signalsOf(site).some(({ lostAfterMs }) => 1000 * (periodS ?? 0) > lostAfterMs / 2)) {
    io.out('with this --period a replay finds signals lost, unless period_s in its site file is as long');
  }
  io.out(`${String(entries.length)} service entries in ${out}.service.jsonl, the truth in ${out}.truth.json`);
  return 0;
}

async function writeBeside(out: string, entries: readonly ServiceEntry[], plant: Plant): Promise<void> {
  try {
    await writeWhole(`${out}.service.jsonl`, entries.map((entry) => `${JSON.stringify(serviceEntryToJson(entry))}\n`).join(''));
    await writeWhole(`${out}.truth.json`, `${JSON.stringify(truthToJson(plant.truth()), null, 2)}\n`);
  } catch (error) {
    throw new TakelineFault('truth-not-written', `${out}: the files beside the recording cannot be written (${sayWhy(error)}); make room`);
  }
}
