import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { BrokerLink } from '../io/broker-link.js';
import type { Clock } from '../process/clock.js';
import { TakelineFault } from '../process/fault.js';
import { createLifecycle, type Lifecycle } from '../process/lifecycle.js';
import type { Log } from '../process/log.js';
import { writeWhole } from '../process/write-whole.js';
import { createPlant, type Plant, type PlantSaved, type PlantSettings } from '../simulate/plant.js';
import { defaultScenario } from '../simulate/default-scenario.js';
import { signalsOf, type Signal, type Site } from '../site/site.js';
import { DEMO_SEED, demoHistoryStartMs, demoLiveScenario, demoScenario } from './plant-scripts.js';
import { sensorPayload } from './sensor-payload.js';

export interface LivePlantOptions {
  readonly site: Site;
  /** The site is the demo's, and its plant follows the demo's script. */
  readonly demo: boolean;
  readonly dataDir: string;
  readonly clock: Clock;
  readonly log: Log;
  readonly broker: { readonly url: string; readonly username?: string; readonly password?: string };
}

/** How often the plant is moved on. */
const BEAT_MS = 200;

/** Where the plant's state is kept from one start to the next. */
export function plantFile(dataDir: string): string {
  return join(dataDir, 'simulated-plant.json');
}

/** The simulated plant between two starts. */
export interface PlantFile {
  /** When the plant was first live; a demo's history ended then. */
  readonly beganMs: number;
  readonly plant: PlantSaved;
}

/** While nobody listens the plant is moved on by readings this far apart. */
const UNHEARD_PERIOD_S = 3600;

/** A simulated plant whose readings are published as sensors would publish them. */
export function createLivePlant(options: LivePlantOptions): Lifecycle<void> {
  return createLifecycle(async (onStop) => {
    const { site, dataDir, clock, log, broker } = options;
    const nowMs = clock.nowMs();
    const before = await readPlant(dataDir);
    const beganMs = before?.beganMs ?? nowMs;
    const plant = takeUp(options, beganMs, before?.plant, nowMs);
    onStop('state of the simulated plant', () =>
      writeWhole(plantFile(dataDir), JSON.stringify({ beganMs, plant: plant.save() } satisfies PlantFile)),
    );

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
      plant.advanceTo(Math.max(clock.nowMs(), plant.nowMs), (timeMs, name, raw) => {
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
function takeUp({ site, demo }: LivePlantOptions, beganMs: number, saved: PlantSaved | undefined, nowMs: number): Plant {
  const startMs = demo ? demoHistoryStartMs(beganMs) : beganMs;
  const scenario = demo ? demoScenario(site, beganMs) : defaultScenario(site);
  const settings: PlantSettings = { seed: DEMO_SEED, startMs, ...(saved ? { saved } : {}) };
  const meanwhile = createPlant(site, scenario, { ...settings, readingPeriodS: UNHEARD_PERIOD_S });
  meanwhile.advanceTo(Math.max(nowMs, meanwhile.nowMs), () => undefined);
  const live = demo ? demoLiveScenario(site, beganMs, nowMs, meanwhile.truth()) : scenario;
  return createPlant(site, live, { ...settings, saved: meanwhile.save() });
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
