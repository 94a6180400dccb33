import type { ForcedStretch } from './forced-stretch.js';
import type { PlantTrouble } from './trouble.js';
import type { PlantWork } from './work.js';

/** How a simulated plant behaves: data, one part a conveyor. `defaultScenario` derives one from the site. */
export interface PlantScenario {
  /** By the conveyor's id; every conveyor of the site has its part. */
  readonly conveyors: Readonly<Record<string, ConveyorScenario>>;
  readonly transport: TransportScenario;
}

export interface ConveyorScenario {
  /** Speed of the chain while it runs. */
  readonly speedMPerMin: number;
  readonly wear: WearScenario;
  readonly shifts: ShiftScenario;
  readonly load: LoadScenario;
  /** By the zone's id. */
  readonly heat: Readonly<Record<string, ZoneScenario>>;
  readonly climate: ClimateScenario;
  readonly breathing: BreathingScenario;
  readonly sensors: SensorScenario;
  /** By the take-up's id. */
  readonly takeups: Readonly<Record<string, CarriageScenario>>;
  /** Work that is done on the plant, in any order. */
  readonly works: readonly PlantWork[];
  readonly troubles: readonly PlantTrouble[];
}

export interface WearScenario {
  /** Elongation at the start, %. */
  readonly elongationPct: number;
  /** Wear per 1000 running hours of a chain that has run in, %. */
  readonly pctPer1000Hours: number;
  /** A new chain wears so many times as fast at first; 1: no run-in. */
  readonly runInTimes: number;
  /** …and the excess falls to 37 % of itself within so many running hours. */
  readonly runInHours: number;
  /** Running hours that the chain has behind it at the start. */
  readonly hoursAtStart: number;
  /** Wear grows by this share of itself over every 1000 running hours without lubrication. */
  readonly dryShare: number;
}

/** When the conveyor is meant to run. */
export interface ShiftScenario {
  /** From Monday to Sunday: stretches of the local day, in minutes since midnight, 1440 its end. */
  readonly week: readonly (readonly (readonly [number, number])[])[];
  /** Short stops in an hour of a shift, on the average. */
  readonly stopsPerHour: number;
  readonly shortestStopS: number;
  readonly longestStopS: number;
  /** A shift begins and ends up to so much late. */
  readonly scatterS: number;
  /** Stretches in which it runs, or stands, whatever the shifts say; the last one holds. */
  readonly forced: readonly ForcedStretch[];
}

/** How heavily the conveyor is loaded, 1 being usual: by the week, by the day, by the shift. */
export interface LoadScenario {
  /** From Monday to Sunday, on top of 1. */
  readonly week: readonly number[];
  readonly weekSpread: number;
  readonly daySpread: number;
  readonly shiftSpread: number;
  /** What a load of 2 instead of 1 adds to the chain, in mm of chain: it is pulled longer. */
  readonly chainMm: number;
  /** Share of the load's excess that wear feels. */
  readonly wearShare: number;
}

/** One heated (or cooled) zone. */
export interface ZoneScenario {
  readonly workC: number;
  /** Time constants towards `workC`, and back to the surroundings. */
  readonly heatUpS: number;
  readonly coolDownS: number;
  /** Heating begins so long before a shift. */
  readonly startBeforeS: number;
  /** The set-point differs from day to day with this spread. */
  readonly spreadC: number;
}

/** Air around the rest of the path. */
export interface ClimateScenario {
  readonly meanC: number;
  /** Half of what lies between winter and summer; the warmest is at the end of July. */
  readonly seasonC: number;
  /** Half of what lies between night and day; the warmest is at 15:00. */
  readonly dayC: number;
  /** Spread of the weather, which changes over days. */
  readonly weatherC: number;
}

/** The carriage's to-and-fro while running, as a part of the way the chain has travelled: it holds still when the chain does. */
export interface BreathingScenario {
  readonly waves: readonly BreathingWave[];
  /** How much longer a chain grows that stands, in mm of chain. */
  readonly relaxChainMm: number;
  /** …with this time constant; running takes it back a tenth as slowly. */
  readonly relaxS: number;
}

export interface BreathingWave {
  /** Amplitude, mm of carriage. */
  readonly mm: number;
  /** What comes round: the whole loop so many times in one round of the chain, or a length of chain. */
  readonly per: { readonly roundOfLoop: number } | { readonly chainMm: number };
}

export interface SensorScenario {
  /** Standard deviation of a position's noise, mm; likewise a spring's. */
  readonly positionMm: number;
  readonly springMm: number;
  readonly temperatureC: number;
  readonly speedMPerMin: number;
  /** Smallest step, where the site gives none. */
  readonly resolutionMm: number;
  readonly resolutionC: number;
  readonly resolutionMPerMin: number;
  /** Readings come up to so much late or early of their period's beat, ms. */
  readonly jitterMs: number;
  /** Share of position readings that are spikes, and how high they are. */
  readonly spikeShare: number;
  readonly spikeMm: number;
}

export interface CarriageScenario {
  /** Left less right. */
  readonly skewMm: number;
}

/** What happens to readings on their way. Shares are of all readings, 0 to 1. */
export interface TransportScenario {
  readonly lostShare: number;
  readonly doubledShare: number;
  /** Readings that come late, out of order, and by how much at most. */
  readonly lateShare: number;
  readonly lateS: number;
}
