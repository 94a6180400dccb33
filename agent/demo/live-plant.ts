import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { BrokerLink } from '../io/broker-link.js';
import type { Clock } from '../process/clock.js';
import { TakelineFault } from '../process/fault.js';
import { createLifecycle, type Lifecycle } from '../process/lifecycle.js';
import type { Log } from '../process/log.js';
import { writeWhole } from '../process/write-whole.js';
import { createPlant, type Plant, type PlantSaved } from '../simulate/plant.js';
import { defaultScenario } from '../simulate/default-scenario.js';
import { signalsOf, type Signal, type Site } from '../site/site.js';
import { demoScenario } from './plant-scripts.js';
import { sensorPayload } from './sensor-payload.js';
import { HISTORY_PERIOD_S } from './site-read-every.js';

export interface LivePlantOptions {
  readonly site: Site;
  /** The site is the demo's, and its plant follows the demo's script. */
  readonly demo: boolean;
  readonly dataDir: string;
  readonly clock: Clock;
  readonly log: Log;
  readonly broker: { readonly url: string; readonly username?: string; readonly password?: string };
}

export const DEMO_SEED = 1;
/** How often the plant is moved on. */
const BEAT_MS = 200;

/** Where the plant's state is kept from one start to the next. */
export function plantFile(dataDir: string): string {
  return join(dataDir, 'simulated-plant.json');
}

interface PlantFile {
  readonly startMs: number;
  /** When the history ended and the live script began. */
  readonly endMs: number;
  readonly plant?: PlantSaved;
}

/** A simulated plant whose readings are published as sensors would publish them. */
export function createLivePlant(options: LivePlantOptions): Lifecycle<void> {
  return createLifecycle(async (onStop) => {
    const { site, dataDir, clock, log, broker } = options;
    const nowMs = clock.nowMs();
    const before = await readPlant(dataDir);
    const file: PlantFile = { startMs: before?.startMs ?? nowMs, endMs: nowMs };
    const plant = takeUp(options, file, before, nowMs);
    onStop('state of the simulated plant', () => writeWhole(plantFile(dataDir), JSON.stringify({ ...file, plant: plant.save() })));

    const link = new BrokerLink({
      ...broker,
      clientId: `takeline-plant-${site.id}`,
      keepSession: false,
      topics: [],
      take: () => undefined,
      onState: (connected, why) => {
        if (!connected) log.warn(`simulated plant: broker: ${why}`);
      },
    });
    onStop('simulated plant', () => link.stop());
    await link.start();

    const signals = new Map(signalsOf(site).map((signal) => [signal.name, signal]));
    const beat = setInterval(() => {
      plant.advanceTo(clock.nowMs(), (timeMs, name, raw) => {
        const { topic } = signals.get(name) as Signal;
        link.publishReading(topic, sensorPayload(signals.get(name) as Signal, raw, timeMs));
      });
    }, BEAT_MS);
    onStop('beat of the simulated plant', () => {
      clearInterval(beat);
    });
  });
}

/** The plant as it was left, moved on to now: what happened while nobody listened is not published. */
function takeUp({ site, demo }: LivePlantOptions, file: PlantFile, before: PlantFile | undefined, nowMs: number): Plant {
  const scenario = demo ? demoScenario(site, file.startMs, nowMs) : defaultScenario(site);
  const settings = { seed: DEMO_SEED, startMs: file.startMs, ...(before?.plant ? { saved: before.plant } : {}) };
  const meanwhile = createPlant(site, scenario, { ...settings, readingPeriodS: HISTORY_PERIOD_S });
  meanwhile.advanceTo(nowMs, () => undefined);
  return createPlant(site, scenario, { ...settings, saved: meanwhile.save() });
}

async function readPlant(dataDir: string): Promise<PlantFile | undefined> {
  let text: string;
  try {
    text = await readFile(plantFile(dataDir), 'utf8');
  } catch {
    return undefined;
  }
  try {
    return JSON.parse(text) as PlantFile;
  } catch {
    throw new TakelineFault('plant-damaged', `${plantFile(dataDir)} is damaged: remove it, and the simulated plant begins anew`);
  }
}
