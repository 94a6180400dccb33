import { parseServiceEntry } from '../../../agent/contract/parse-service-entry.js';
import type { ServiceEntry } from '../../../agent/contract/service-entry.js';
import type { AlarmOutput, FindingOutput, Output, SettledDayOutput } from '../../../agent/flow/output.js';
import { DEFAULT_SETTINGS } from '../../../agent/flow/way/site-settings.js';
import { Pipeline, type Input, type PipelineSaved } from '../../../agent/pipeline.js';
import type { Site } from '../../../agent/site/site.js';
import { formatTime } from '../../../agent/units/time.js';

export const MINUTE_MS = 60_000;
export const HOUR_MS = 3600_000;

/** An input as a test writes it: a reading names its signal. */
export type TestInput =
  | { readonly kind: 'reading'; readonly timeMs: number; readonly signal: string; readonly raw: number }
  | Exclude<Input, { readonly kind: 'reading' }>;

/** Readings of some signals at even intervals, from a time on and before another. */
export function readings(
  fromMs: number,
  untilMs: number,
  everyS: number,
  read: (timeMs: number) => Readonly<Record<string, number>>,
): TestInput[] {
  const inputs: TestInput[] = [];
  for (let timeMs = fromMs; timeMs < untilMs; timeMs += everyS * 1000) {
    for (const [signal, raw] of Object.entries(read(timeMs))) inputs.push({ kind: 'reading', timeMs, signal, raw });
  }
  return inputs;
}

/** Both sides of a take-up at one position. */
export function sides(mm: number, takeup = 'tu1'): Record<string, number> {
  return { [`line/${takeup}/left/position`]: mm, [`line/${takeup}/right/position`]: mm };
}

/** A service entry in the contract's own form. */
export function entryOf(site: Site, atMs: number, fields: Readonly<Record<string, unknown>>): ServiceEntry {
  const parsed = parseServiceEntry({ time: formatTime(atMs), conveyor: 'line', ...fields }, site);
  if (!parsed.ok) throw new Error(parsed.message);
  return parsed.entry;
}

/** The same as an input, known at its own time. */
export function served(site: Site, atMs: number, fields: Readonly<Record<string, unknown>>): TestInput {
  return { kind: 'service', timeMs: atMs, entry: entryOf(site, atMs, fields) };
}

/** What a run gave out. */
export interface Run {
  readonly pipeline: Pipeline;
  readonly outputs: readonly Output[];
  readonly alarms: readonly AlarmOutput[];
  /** The last word on each day, in order of days. */
  readonly days: readonly SettledDayOutput[];
  /** The last word of each finding, in order of time. */
  readonly findings: readonly FindingOutput[];
}

/** Inputs in order of time; at one time entries come before readings, as in a replay. */
export function inOrder(inputs: readonly TestInput[]): TestInput[] {
  const rank = ({ kind }: TestInput): number => (kind === 'reading' ? 1 : 0);
  return [...inputs].sort((a, b) => a.timeMs - b.timeMs || rank(a) - rank(b));
}

/** Feeds inputs to a pipeline in the order given and collects what it says. */
export function feed(pipeline: Pipeline, inputs: readonly TestInput[]): Output[] {
  const places = new Map(pipeline.signals.map((name, index) => [name, index]));
  return inputs.flatMap((input) => {
    if (input.kind !== 'reading') return pipeline.advance(input);
    const signal = places.get(input.signal);
    if (signal === undefined) throw new Error(`the site has no signal ${input.signal}`);
    return pipeline.advance({ ...input, signal });
  });
}

/** A whole run: the inputs in order of time, and the end. */
export function run(site: Site, inputs: readonly TestInput[]): Run {
  const pipeline = new Pipeline(site);
  const outputs = [...feed(pipeline, inOrder(inputs)), ...pipeline.finish()];
  return { pipeline, ...sorted(outputs) };
}

/** Outputs by kind, the last word on each day and finding. */
export function sorted(outputs: readonly Output[]): Omit<Run, 'pipeline'> {
  const days = new Map<string, SettledDayOutput>();
  const findings = new Map<string, FindingOutput>();
  for (const output of outputs) {
    if (output.kind === 'settled-day') days.set(`${output.date} ${output.takeup}`, output);
    if (output.kind === 'finding') findings.set(output.id, output);
  }
  return {
    outputs,
    alarms: outputs.filter((output) => output.kind === 'alarm'),
    days: [...days].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, day]) => day),
    findings: [...findings.values()].sort((a, b) => a.toMs - b.toMs),
  };
}

/** A pipeline brought back from what another saved, through JSON. */
export function resumed(site: Site, pipeline: Pipeline): Pipeline {
  return new Pipeline(site, DEFAULT_SETTINGS, JSON.parse(JSON.stringify(pipeline.save())) as PipelineSaved);
}

/** Alarms as one reads them: when, which, which way. */
export function told(alarms: readonly AlarmOutput[]): string[] {
  return alarms.map(({ timeMs, alarm, change }) => `${formatTime(timeMs)} ${alarm} ${change}`);
}
