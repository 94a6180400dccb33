import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  DEMO_HISTORY_DAYS,
  DEMO_HISTORY_PERIOD_S,
  DEMO_SEED,
  demoHistoryStartMs,
  demoLiveScenario,
  demoScenario,
} from '../../agent/demo/plant-scripts.js';
import type { Output } from '../../agent/flow/output.js';
import { Pipeline } from '../../agent/pipeline.js';
import { createPlant, type Plant, type PlantSaved } from '../../agent/simulate/plant.js';
import type { PlantTruth, TruthNow } from '../../agent/simulate/truth.js';
import { readSite } from '../../agent/site/read-site.js';
import { conveyorSignals, type Site } from '../../agent/site/site.js';
import type { ServiceEntry } from '../../agent/contract/service-entry.js';
import { impossibleEntries } from '../../agent/flow/ledger/impossible.js';

const DAY_MS = 86_400_000;
const SECOND_MS = 1000;
const MINUTE_MS = 60 * SECOND_MS;
/** A Wednesday afternoon in winter, and a Sunday night in summer: the plant must be at work at either. */
const SEEDED = ['2026-11-25T14:30:12Z', '2027-07-18T01:07:43Z'].map((text) => Date.parse(text));
/** The history takes a while to be made; the present goes on meanwhile. */
const MADE_AFTER_MS = 20 * SECOND_MS;

const reading = readSite(readFileSync('agent/demo/alder-point.yaml', 'utf8'), 'alder-point.yaml');
if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('\n'));
const site: Site = reading.site;

interface Past {
  readonly seededMs: number;
  readonly truth: PlantTruth;
  readonly saved: PlantSaved;
  readonly entries: readonly ServiceEntry[];
}

function pastOf(seededMs: number): Past {
  const settings = { seed: DEMO_SEED, startMs: demoHistoryStartMs(seededMs), readingPeriodS: 3600 };
  const plant = createPlant(site, demoScenario(site, seededMs), settings);
  const entries: ServiceEntry[] = [];
  plant.advanceTo(
    seededMs,
    () => undefined,
    (entry) => entries.push(entry),
  );
  return { seededMs, truth: plant.truth(), saved: plant.save(), entries };
}

/** The plant as it goes live a little after its history ends. */
function liveOf({ seededMs, saved }: Past): { readonly plant: Plant; readonly liveMs: number } {
  const liveMs = seededMs + MADE_AFTER_MS;
  const settings = { seed: DEMO_SEED, startMs: seededMs, saved };
  const meanwhile = createPlant(site, demoScenario(site, seededMs), settings);
  meanwhile.advanceTo(liveMs, () => undefined);
  const scenario = demoLiveScenario(site, seededMs, liveMs, meanwhile.truth());
  return { liveMs, plant: createPlant(site, scenario, { ...settings, saved: meanwhile.save() }) };
}

function nowOf({ truth }: Past, conveyor: string, takeup = 'tu1'): TruthNow {
  return truth.now.find((now) => now.conveyor === conveyor && now.takeup === takeup)!;
}

const pasts: Past[] = [];
beforeAll(() => {
  pasts.push(...SEEDED.map(pastOf));
}, 60_000);

describe('the site of the demo', () => {
  it('is read without a fault or a warning, and each conveyor has a path with a drive', () => {
    expect(reading).toMatchObject({ ok: true, warnings: [] });
    expect(site.conveyors).toHaveLength(6);
    for (const { path } of site.conveyors) expect(path.filter(({ kind }) => kind === 'drive')).toHaveLength(1);
  });

  it('has its carriages read once a second', () => {
    const positions = site.conveyors.flatMap(conveyorSignals).filter(({ quantity }) => quantity === 'position');
    expect(new Set(positions.map(({ periodS }) => periodS))).toEqual(new Set([1]));
  });
});

describe.each([0, 1])('the history of the demo', (index) => {
  it('is fourteen months long, and read seldom enough to be made in seconds', () => {
    expect(DEMO_HISTORY_DAYS).toBeGreaterThanOrEqual(14 * 30);
    expect(DEMO_HISTORY_PERIOD_S).toBeGreaterThanOrEqual(60);
    const { truth } = pasts[index]!;
    expect(Date.parse(truth.days.at(-1)!.date) - Date.parse(truth.days[0]!.date)).toBeGreaterThan((DEMO_HISTORY_DAYS - 4) * DAY_MS);
  });

  it('ends with every conveyor at work, and in the state it is to show', () => {
    const past = pasts[index]!;
    expect(past.truth.now.map(({ running }) => running)).toEqual(past.truth.now.map(() => true));
    const drying = nowOf(past, 'drying');
    expect(240 - drying.positionMm).toBeGreaterThan(16);
    expect(240 - drying.positionMm).toBeLessThan(23);
    const pickling = nowOf(past, 'pickling');
    expect(pickling.elongationPct / 2.5).toBeGreaterThan(0.9);
    expect(pickling.elongationPct / 2.5).toBeLessThan(1);
    // Compression at or below 10 % of the spring's travel: 16 mm of 160.
    expect(300 - nowOf(past, 'decal').springLeftMm).toBeLessThan(16);
    expect(nowOf(past, 'packing')).toMatchObject({ pitches: 916, removedPitches: 2 });
    expect(nowOf(past, 'packing').elongationPct).toBeLessThan(0.2);
    expect(nowOf(past, 'overhead', 'far-end').skewMm).toBeGreaterThan(18);
    expect(nowOf(past, 'enamel').removedPitches).toBe(6);
  });

  it('never drives a carriage against a stop, nor a spring below its shortest usable length', () => {
    for (const day of pasts[index]!.truth.days) {
      const takeup = site.conveyors.find(({ id }) => id === day.conveyor)!.takeups.find(({ id }) => id === day.takeup)!;
      expect(day.positionMm).toBeGreaterThan(5);
      expect(day.positionMm).toBeLessThan(takeup.strokeMm - 5);
      const shortest = takeup.spring.solidMm + takeup.spring.clearanceMm;
      expect(Math.min(day.springLeftMm, day.springRightMm)).toBeGreaterThan(shortest);
    }
  });

  it('has a service log that holds together, and some work that is not in it', () => {
    const { entries, truth } = pasts[index]!;
    for (const conveyor of site.conveyors) expect(impossibleEntries(conveyor, entries)).toEqual([]);
    const kinds = new Set(entries.map(({ kind }) => kind));
    for (const kind of ['chain-removed', 'chain-replaced', 'nut-turned', 'lubricated', 'inspected', 'correction']) {
      expect(kinds).toContain(kind);
    }
    const unrecorded = truth.steps.filter(({ recorded, kind }) => recorded === 'never' && !kind.startsWith('service'));
    expect(unrecorded.map(({ conveyor, kind }) => `${conveyor} ${kind}`)).toEqual(['overhead nut-turned', 'enamel chain-removed']);
  });
});

describe.each([0, 1])('the first minutes of the demo', (index) => {
  it('raise stroke-end on the drying line 60 to 75 s after it goes live, and nothing that noise would', () => {
    const { plant, liveMs } = liveOf(pasts[index]!);
    const pipeline = new Pipeline(site);
    const place = new Map(pipeline.signals.map((name, at) => [name, at]));
    const outputs: Output[] = [];
    plant.advanceTo(liveMs + 15 * MINUTE_MS, (timeMs, signal, raw) => {
      pipeline.read(place.get(signal)!, timeMs, raw, outputs);
    });
    const raised = outputs.flatMap((output) => (output.kind === 'alarm' && output.change === 'raised' ? [output] : []));
    const end = raised.filter(({ alarm }) => alarm === 'stroke-end');
    expect(end).toMatchObject([{ conveyor: 'drying', takeup: 'tu1' }]);
    const afterS = (end[0]!.timeMs - liveMs) / SECOND_MS;
    expect(afterS).toBeGreaterThanOrEqual(60);
    expect(afterS).toBeLessThanOrEqual(75);
    // A pipeline without a past tells anew what has been so for weeks.
    const standing = ['drying stroke-low', 'decal spring-slack', 'overhead carriage-skew'];
    expect(raised.map(({ conveyor, alarm }) => `${conveyor} ${alarm}`).filter((line) => !standing.includes(line))).toEqual([
      'drying stroke-end',
    ]);
  });
});
