import { mkdir, rename, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { setImmediate as yieldTurn } from 'node:timers/promises';
import { serviceEntryToJson, type ServiceEntry } from '../contract/service-entry.js';
import type { Output } from '../flow/output.js';
import { CheckpointMaker } from '../live/checkpoint.js';
import { PendingOutputs } from '../live/outputs.js';
import { Pipeline } from '../pipeline.js';
import type { Clock } from '../process/clock.js';
import { writeWhole } from '../process/write-whole.js';
import { createPlant, type Plant } from '../simulate/plant.js';
import type { Site } from '../site/site.js';
import { STORE_FILE } from '../store/sqlite-file.js';
import { openSqliteWriter } from '../store/sqlite-writer.js';
import type { StoreWriter } from '../store/store.js';
import { plantFile, type PlantFile } from './live-plant.js';
import { DEMO_HISTORY_PERIOD_S, DEMO_SEED, demoHistoryStartMs, demoScenario } from './plant-scripts.js';
import { siteReadEvery } from './site-read-every.js';
import { hourly, hourlyTemperatures } from './thin-minutes.js';

export interface SeedOptions {
  readonly site: Site;
  readonly dataDir: string;
  readonly clock: Clock;
  readonly signal: AbortSignal;
  /** Hears of the share that is done, 0…1, and of the day it is at. */
  readonly onProgress: (share: number, timeMs: number) => void;
}

const DAY_MS = 86_400_000;
/** Minutes are kept one by one for so long before now; before that an hour is drawn together. */
const MINUTES_DAYS = 14;
/** Written at once. */
const DAYS_AT_ONCE = 5;

/**
 * Makes the demo's history at its first start: the simulated plant's readings of fourteen months through the pipeline, as if the agent
 * had been there. It is made aside and put in its place when it is whole, so that an interrupted start leaves nothing behind.
 * @returns false where there is a history already
 */
export async function seedHistory(options: SeedOptions): Promise<boolean> {
  const { dataDir } = options;
  if (await exists(join(dataDir, STORE_FILE))) return false;
  const aside = join(dataDir, 'history-in-the-making');
  await rm(aside, { recursive: true, force: true });
  await mkdir(aside, { recursive: true });
  await makeHistory(options, aside);
  await rename(plantFile(aside), plantFile(dataDir));
  await rename(join(aside, STORE_FILE), join(dataDir, STORE_FILE));
  await rm(aside, { recursive: true, force: true });
  return true;
}

async function makeHistory({ site, clock, signal, onProgress }: SeedOptions, folder: string): Promise<void> {
  const endMs = Math.floor(clock.nowMs() / 1000) * 1000;
  const startMs = demoHistoryStartMs(endMs);
  const plant = createPlant(site, demoScenario(site, endMs), { seed: DEMO_SEED, startMs, readingPeriodS: DEMO_HISTORY_PERIOD_S });
  const pipeline = new Pipeline(siteReadEvery(site, DEMO_HISTORY_PERIOD_S));
  const store = await openSqliteWriter({ dataDir: folder, signals: pipeline.signals });
  try {
    const maker = new HistoryMaker(pipeline, plant, store);
    for (let untilMs = startMs; untilMs < endMs;) {
      signal.throwIfAborted();
      untilMs = Math.min(endMs, untilMs + DAYS_AT_ONCE * DAY_MS);
      await maker.makeTo(untilMs, endMs - MINUTES_DAYS * DAY_MS);
      onProgress((untilMs - startMs) / (endMs - startMs), untilMs);
      // Lets Ctrl-C be heard.
      await yieldTurn();
    }
    await store.writeOutputs({ checkpoint: new CheckpointMaker(pipeline).make(store.lastSeq) });
    await writeWhole(plantFile(folder), JSON.stringify({ beganMs: endMs, plant: plant.save() } satisfies PlantFile));
  } finally {
    await store.stop();
  }
}

class HistoryMaker {
  private readonly index: ReadonlyMap<string, number>;
  private readonly pending = new PendingOutputs();
  private readonly scratch: Output[] = [];

  constructor(
    private readonly pipeline: Pipeline,
    private readonly plant: Plant,
    private readonly store: StoreWriter,
  ) {
    this.index = new Map(pipeline.signals.map((name, index) => [name, index]));
  }

  async makeTo(untilMs: number, minutesFromMs: number): Promise<void> {
    const entries: ServiceEntry[] = [];
    this.plant.advanceTo(
      untilMs,
      (timeMs, name, raw) => {
        this.pipeline.read(this.index.get(name) as number, timeMs, raw, this.scratch);
        if (this.scratch.length > 1000) this.pending.take(this.scratch);
      },
      (entry) => {
        const named = { ...entry, id: entry.id ?? `demo-${String(entry.timeMs)}-${entry.kind}-${String(entries.length)}` };
        entries.push(named);
        this.scratch.push(...this.pipeline.advance({ kind: 'service', timeMs: entry.timeMs, entry: named }));
      },
    );
    this.acknowledge(untilMs);
    this.pending.take(this.scratch);
    for (const entry of entries) await this.log(entry);
    const { minutes, temperatures, ...outputs } = this.pending.drain();
    await this.store.writeOutputs({
      ...outputs,
      minutes: hourly(minutes, minutesFromMs),
      temperatures: hourlyTemperatures(temperatures, minutesFromMs),
    });
  }

  /** The control room of the past has seen its alarms, but for those of the last day. */
  private acknowledge(nowMs: number): void {
    for (const { conveyor, alarms } of this.pipeline.ways) {
      for (const takeup of [...conveyor.takeups.map(({ id }) => id), undefined]) {
        for (const { key, changedMs, place } of alarms.standing(takeup)) {
          if (nowMs - changedMs < DAY_MS) continue;
          const { signal } = place;
          const whose = { ...(takeup === undefined ? {} : { takeup }), ...(signal === undefined ? {} : { signal }) };
          this.scratch.push(
            ...this.pipeline.advance({
              kind: 'acknowledge',
              timeMs: nowMs,
              conveyor: conveyor.id,
              alarm: key,
              by: 'control room',
              ...whose,
            }),
          );
        }
      }
    }
  }

  /** Puts an entry into the service log, as the agent does before it confirms one. */
  private async log(entry: ServiceEntry): Promise<void> {
    const { id = '', timeMs, kind, conveyor = '', takeup } = entry;
    const body = serviceEntryToJson(entry);
    await this.store.appendInput({
      kind: 'service',
      timeMs,
      entry: { id, timeMs, conveyor, ...(takeup === undefined ? {} : { takeup }), kind, body },
    });
  }
}

async function exists(path: string): Promise<boolean> {
  try {
    await stat(path);
    return true;
  } catch {
    return false;
  }
}
