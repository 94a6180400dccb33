import { parseServiceEntry } from '../../agent/contract/parse-service-entry.js';
import type { ServiceEntry } from '../../agent/contract/service-entry.js';
import type { TrendNow } from '../../agent/contract/messages.js';
import type { AlarmOutput, FindingOutput, Output, SettledDayOutput } from '../../agent/flow/output.js';
import { DEFAULT_SETTINGS } from '../../agent/flow/way/site-settings.js';
import { Pipeline, type PipelineSaved } from '../../agent/pipeline.js';
import { TimeOrder } from '../../agent/recording/time-order.js';
import { createPlant } from '../../agent/simulate/plant.js';
import type { PlantTruth, TruthNow } from '../../agent/simulate/truth.js';
import { at, DAY_MS, START_MS } from './line-site.js';
import { NaiveReading, type NaiveDay } from './naive-reading.js';
import type { ScorePlant } from './plant.js';
import { RunningClock } from './running-clock.js';
import { Silences } from './silences.js';

/** The trend beside the truth at the end of a day. */
export interface Seen {
  readonly day: number;
  readonly takeup: number;
  readonly trend: TrendNow;
  readonly now: TruthNow;
}

/** Everything that a plant's life gave, and what was really so. */
export interface PlantRun {
  readonly plant: ScorePlant;
  readonly truth: PlantTruth;
  readonly alarms: readonly AlarmOutput[];
  /** Every finding as it was first told, and as it was told last. */
  readonly findings: readonly { readonly first: FindingOutput; readonly last: FindingOutput }[];
  readonly days: readonly SettledDayOutput[];
  readonly seen: readonly Seen[];
  readonly naive: readonly NaiveDay[];
  readonly clock: RunningClock;
  readonly silences: Silences;
  readonly readings: number;
}

/** The trend is looked at so often. */
const LOOK_DAYS = 7;

/**
 * Lets a plant live its days, its readings put in order as a replay does, and the pipeline hear of them.
 *
 * @param resumed - whether the pipeline is saved every day, and another goes on from what was saved
 */
export function runPlant(plant: ScorePlant, resumed = false): PlantRun {
  const { site, scenario, seed } = plant;
  const plantSite = plant.plantSite ?? site;
  let pipeline = new Pipeline(site);
  const places = new Map(pipeline.signals.map((name, index) => [name, index]));
  const collected = new Collected();
  const order = new TimeOrder(pipeline.signals.length, () => undefined, 240);
  const naive = new NaiveReading(site);
  const clock = new RunningClock();
  const entries: ServiceEntry[] = [];
  const seen: Seen[] = [];
  const out: Output[] = [];
  let readings = 0;
  const enter = (beforeMs: number): void => {
    for (let entry = entries[0]; entry !== undefined && entry.timeMs <= beforeMs; entry = entries[0]) {
      entries.shift();
      out.push(...pipeline.advance({ kind: 'service', timeMs: entry.timeMs, entry }));
    }
  };
  const drain = (): void => {
    for (const { count, timeMs, signal, value } of order.takeReady()) {
      for (let i = 0; i < count; i++) {
        const [ms, place, raw] = [timeMs[i] as number, signal[i] as number, value[i] as number];
        enter(ms);
        pipeline.read(place, ms, raw, out);
        naive.read(place, ms, raw);
        readings++;
        if (out.length > 0) collected.take(out, entries, plant);
      }
    }
  };
  const silences = new Silences(site);
  const take = (timeMs: number, signal: string, raw: number): void => {
    if (signal === 'line/running') clock.turn(timeMs, raw > 0.5);
    const place = places.get(signal);
    if (place === undefined) return;
    silences.hear(signal, timeMs);
    order.add(timeMs, place, raw, 0);
  };
  const takeEntry = (entry: ServiceEntry): void => {
    entries.push(entry);
    entries.sort((a, b) => a.timeMs - b.timeMs);
  };
  let live = createPlant(plantSite, scenario, { seed, startMs: START_MS, ...periodOf(plant, START_MS) });
  const stops = [...Array.from({ length: plant.days }, (_, day) => at(day + 1)), plant.dense?.fromMs, plant.dense?.toMs]
    .filter((ms) => ms !== undefined)
    .filter((ms) => ms > START_MS)
    .sort((a, b) => a - b);
  const pieces: PlantTruth[] = [];
  for (const stop of stops) {
    live.advanceTo(stop, take, takeEntry);
    drain();
    if (resumed) pipeline = new Pipeline(site, DEFAULT_SETTINGS, JSON.parse(JSON.stringify(pipeline.save())) as PipelineSaved);
    if (stop === plant.dense?.fromMs || stop === plant.dense?.toMs) {
      pieces.push(live.truth());
      live = createPlant(plantSite, scenario, { seed, startMs: START_MS, saved: live.save(), ...periodOf(plant, stop) });
    }
    const day = Math.round((stop - at(0)) / DAY_MS);
    if (day % LOOK_DAYS === 0 && stop === at(day)) look(pipeline, live.truth(), day, seen);
  }
  order.finish();
  drain();
  enter(at(plant.days));
  out.push(...pipeline.finish());
  collected.take(out, entries, plant);
  look(pipeline, live.truth(), plant.days, seen);
  pieces.push(live.truth());
  return { plant, truth: joined(pieces), ...collected.result(), seen, naive: naive.days(), clock, silences, readings };
}

function periodOf({ readingPeriodS, dense }: ScorePlant, ms: number): { readonly readingPeriodS?: number } {
  const periodS = dense !== undefined && ms >= dense.fromMs && ms < dense.toMs ? dense.periodS : readingPeriodS;
  return periodS === undefined ? {} : { readingPeriodS: periodS };
}

/** A plant that is taken up again knows its days and steps from there on only; the day it was parted in counts as a whole. */
function joined(pieces: readonly PlantTruth[]): PlantTruth {
  const last = pieces.at(-1) as PlantTruth;
  const days = new Map(pieces.flatMap(({ days }) => days).map((day) => [`${day.date} ${day.takeup}`, day]));
  return { ...last, days: [...days.values()], steps: pieces.flatMap(({ steps }) => steps) };
}

function look(pipeline: Pipeline, truth: PlantTruth, day: number, seen: Seen[]): void {
  const way = pipeline.ways[0];
  if (way === undefined) return;
  truth.now.forEach((now, takeup) => seen.push({ day, takeup, trend: way.account.trendOf(takeup), now }));
}

class Collected {
  private readonly alarms: AlarmOutput[] = [];
  private readonly findings = new Map<string, { first: FindingOutput; last: FindingOutput }>();
  private readonly days = new Map<string, SettledDayOutput>();

  take(out: Output[], entries: ServiceEntry[], plant: ScorePlant): void {
    for (const output of out) {
      if (output.kind === 'alarm') this.alarms.push(output);
      if (output.kind === 'settled-day') this.days.set(`${output.date} ${output.takeup}`, output);
      if (output.kind === 'finding') {
        const first = this.findings.get(output.id)?.first ?? output;
        this.findings.set(output.id, { first, last: output });
        if (plant.confirms && first === output && output.suggestion) confirm(output, entries, plant);
      }
    }
    out.length = 0;
  }

  result(): Pick<PlantRun, 'alarms' | 'findings' | 'days'> {
    return {
      alarms: this.alarms,
      findings: [...this.findings.values()].sort((a, b) => a.first.timeMs - b.first.timeMs),
      days: [...this.days.values()].sort((a, b) => (a.date < b.date ? -1 : 1)),
    };
  }
}

function confirm({ suggestion, timeMs }: FindingOutput, entries: ServiceEntry[], { site }: ScorePlant): void {
  const parsed = parseServiceEntry(suggestion, site);
  if (!parsed.ok) throw new Error(`the pipeline suggests an entry that it would refuse: ${parsed.message}`);
  // It becomes known a day later, whatever time of the work it names.
  entries.push({ ...parsed.entry, timeMs: Math.min(parsed.entry.timeMs + 20 * 3600_000, timeMs + 20 * 3600_000) });
  entries.sort((a, b) => a.timeMs - b.timeMs);
}
