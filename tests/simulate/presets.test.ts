import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';
import { createPlant } from '../../agent/simulate/plant.js';
import { presetScenario, PRESETS } from '../../agent/simulate/presets.js';
import { scenarioFaults } from '../../agent/simulate/check-scenario.js';
import { DAY_MS, passTo, START_MS } from './quiet-plant.js';

const GOOD = 'fixtures/sites/good';
const sites: readonly (readonly [string, Site])[] = readdirSync(GOOD).map((name) => {
  const reading = readSite(readFileSync(`${GOOD}/${name}`, 'utf8'), name);
  if (!reading.ok) throw new Error(`${name} is no good site`);
  return [name, reading.site];
});
const span = { fromMs: START_MS, toMs: START_MS + 3 * DAY_MS };

describe.each(PRESETS.map(({ name }) => name))('the scenario %s', (name) => {
  it.each(sites)('is sound on %s and keeps every carriage between its stops', (_, site) => {
    const scenario = presetScenario(name, site, span)!;
    expect(scenarioFaults(scenario)).toEqual([]);
    const plant = createPlant(site, scenario, { seed: 1, startMs: span.fromMs, readingPeriodS: 300 });
    let readings = 0;
    plant.advanceTo(span.toMs, () => readings++);
    expect(readings).toBeGreaterThan(1000);
    for (const { takeup, conveyor, positionMm, strandTensionN } of plant.truth().now) {
      const { strokeMm } = site.conveyors.find(({ id }) => id === conveyor)!.takeups.find(({ id }) => id === takeup)!;
      expect(positionMm).toBeGreaterThanOrEqual(0);
      expect(positionMm).toBeLessThanOrEqual(strokeMm);
      expect(strandTensionN).toBeGreaterThanOrEqual(0);
    }
  });
});

describe('a chain that is shortened half-way', () => {
  it.each(sites)('is far enough out for it on %s', (_, site) => {
    const plant = createPlant(site, presetScenario('unrecorded', site, span)!, { seed: 1, startMs: span.fromMs, readingPeriodS: 600 });
    passTo(plant, span.toMs);
    const removals = plant.truth().steps.filter(({ kind }) => kind === 'chain-removed');
    expect(removals.map(({ conveyor }) => conveyor).sort()).toEqual(site.conveyors.map(({ id }) => id).sort());
    for (const { moveMm } of removals) for (const moved of Object.values(moveMm)) expect(moved).toBeLessThan(-10);
  });
});

describe('a scenario by a name that there is not', () => {
  it('is none', () => {
    expect(presetScenario('ideal', sites[0]![1], span)).toBeUndefined();
  });
});
