import type { ServiceEntry } from '../contract/service-entry.js';
import { conveyorSignals, signalsOf, type Site } from '../site/site.js';
import { fromSaved, toSaved, type SavedNumber } from '../units/saved.js';
import { ConveyorPlant, type ConveyorPlantSaved } from './conveyor-plant.js';
import { Delivery, type OnTheWay } from './delivery.js';
import type { PlantScenario } from './scenario.js';
import type { PlantTruth, TruthFault } from './truth.js';
import { truthNow } from './truth-now.js';

/** The plant at one instant, as plain data: it goes through JSON and back unchanged. */
export interface PlantSaved {
  readonly version: 1;
  readonly nowMs: number;
  readonly conveyors: Readonly<Record<string, ConveyorPlantSaved>>;
  /** Readings that were taken and have not come in yet. */
  readonly onTheWay: readonly (Omit<OnTheWay, 'raw'> & { readonly raw: SavedNumber })[];
}

export interface PlantSettings {
  /** All chance follows from it: a whole number. */
  readonly seed: number;
  /** Where the plant begins: every chain at its reference, with the elongation that the scenario says. Not looked at with `saved`. */
  readonly startMs: number;
  /** No signal is read more often than this; left out, as often as the site says. */
  readonly readingPeriodS?: number;
  readonly saved?: PlantSaved;
}

/** Takes a reading: its own time, the signal's name, the raw value as it stands in the payload; NaN where that is no number. */
export type TakeReading = (timeMs: number, signal: string, raw: number) => void;
/** Takes a service entry when its time has come. */
export type TakeEntry = (entry: ServiceEntry) => void;

/** A simulated plant. */
export interface Plant {
  readonly nowMs: number;
  /**
   * Lets time pass up to and with an instant. Readings come in order of their time, but for those that the scenario delays; cutting the
   * stretch into pieces changes nothing.
   *
   * @param toMs - epoch ms, not before `nowMs`
   */
  advanceTo(toMs: number, take: TakeReading, takeEntry?: TakeEntry): void;
  /** What is really so. Days and steps are those since this plant was created or taken up again. */
  truth(): PlantTruth;
  save(): PlantSaved;
}

/** Readings made before they are put in order: enough to be quick, few enough to be small in memory. */
const READINGS_AT_ONCE = 50_000;
const LONGEST_MS = 3600_000;

/**
 * Creates a plant, or takes one up again where it was saved. The scenario may be another than before, as long as what it says of the
 * time up to then is the same; the reading period may be any.
 */
export function createPlant(site: Site, scenario: PlantScenario, settings: PlantSettings): Plant {
  return new SimulatedPlant(site, scenario, settings);
}

class SimulatedPlant implements Plant {
  nowMs: number;
  private readonly conveyors: readonly ConveyorPlant[];
  private readonly delivery: Delivery;
  private readonly names: readonly string[];
  private readonly chunkMs: number;

  constructor(
    site: Site,
    private readonly scenario: PlantScenario,
    private readonly settings: PlantSettings,
  ) {
    const { seed, startMs, readingPeriodS, saved } = settings;
    this.nowMs = saved?.nowMs ?? startMs - 1;
    this.names = signalsOf(site).map(({ name }) => name);
    this.delivery = new Delivery(saved?.onTheWay.map((reading) => ({ ...reading, raw: fromSaved(reading.raw) })));
    let firstIndex = 0;
    this.conveyors = site.conveyors.map((conveyor) => {
      const own = scenario.conveyors[conveyor.id];
      if (own === undefined) throw new Error(`the scenario says nothing of conveyor ${conveyor.id}`);
      const { transport } = scenario;
      const sources = { seed, transport, firstIndex, readingPeriodS, afterMs: this.nowMs };
      firstIndex += conveyorSignals(conveyor).length;
      return new ConveyorPlant(conveyor, own, site.timezone, sources, saved?.conveyors[conveyor.id]);
    });
    const perMs = signalsOf(site).reduce((sum, { periodS }) => sum + 1 / (1000 * Math.max(periodS, readingPeriodS ?? 0)), 0);
    this.chunkMs = Math.max(1000, Math.min(LONGEST_MS, Math.floor(READINGS_AT_ONCE / perMs)));
  }

  advanceTo(toMs: number, take: TakeReading, takeEntry: TakeEntry = () => undefined): void {
    if (toMs < this.nowMs) throw new RangeError(`the plant is at ${String(this.nowMs)} and cannot go back to ${String(toMs)}`);
    while (this.nowMs < toMs) {
      const untilMs = Math.min(toMs, (Math.floor(this.nowMs / this.chunkMs) + 1) * this.chunkMs);
      for (const conveyor of this.conveyors) conveyor.readTo(untilMs, this.delivery);
      this.handOut(untilMs, take, takeEntry);
      this.nowMs = untilMs;
    }
  }

  private handOut(untilMs: number, take: TakeReading, takeEntry: TakeEntry): void {
    const entries = this.conveyors.flatMap((conveyor) => conveyor.takeEntries(untilMs)).sort((a, b) => a.timeMs - b.timeMs);
    let given = 0;
    const giveEntries = (beforeMs: number): void => {
      for (let entry = entries[given]; entry !== undefined && entry.timeMs <= beforeMs; entry = entries[++given]) takeEntry(entry);
    };
    this.delivery.deliver(untilMs, (deliveredMs, timeMs, signal, raw) => {
      if (given < entries.length) giveEntries(deliveredMs);
      take(timeMs, this.names[signal] as string, raw);
    });
    giveEntries(untilMs);
  }

  truth(): PlantTruth {
    return {
      days: this.conveyors.flatMap(({ truthDays }) => truthDays.all()),
      steps: this.conveyors.flatMap(({ steps }) => steps).sort((a, b) => a.timeMs - b.timeMs),
      faults: this.conveyors.flatMap((conveyor) => this.faultsOf(conveyor)).sort((a, b) => a.fromMs - b.fromMs),
      now: this.conveyors.flatMap((plant) => {
        const { conveyor, scenario, timetable, truthDays } = plant;
        const { state, stand } = plant.at(this.nowMs);
        const days = truthDays.all();
        return conveyor.takeups.map(({ id }, index) => {
          const lastDay = days.findLast(({ takeup }) => takeup === id);
          const lasting = timetable.lastingAt(state.timeMs);
          return truthNow(conveyor, scenario, this.settings.seed, index, state, stand, lasting, lastDay);
        });
      }),
    };
  }

  /** Troubles that have begun. */
  private faultsOf({ conveyor: { id } }: ConveyorPlant): TruthFault[] {
    const troubles = this.scenario.conveyors[id]?.troubles ?? [];
    return troubles
      .filter(({ fromMs }) => fromMs <= this.nowMs)
      .map((trouble) => ({
        conveyor: id,
        kind: trouble.kind,
        fromMs: trouble.fromMs,
        toMs: trouble.toMs,
        ...('takeup' in trouble ? { takeup: trouble.takeup } : {}),
        ...('side' in trouble ? { side: trouble.side } : {}),
        ...('signal' in trouble ? { signal: trouble.signal } : {}),
        ...('zone' in trouble ? { zone: trouble.zone } : {}),
      }));
  }

  save(): PlantSaved {
    return {
      version: 1,
      nowMs: this.nowMs,
      conveyors: Object.fromEntries(this.conveyors.map((conveyor) => [conveyor.conveyor.id, conveyor.save()])),
      onTheWay: this.delivery.waiting().map((reading) => ({ ...reading, raw: toSaved(reading.raw) })),
    };
  }
}
