import type { Conveyor, Site } from '../site/site.js';
import type {
  BreathingScenario,
  ClimateScenario,
  ConveyorScenario,
  LoadScenario,
  PlantScenario,
  SensorScenario,
  ShiftScenario,
  TransportScenario,
  WearScenario,
  ZoneScenario,
} from './scenario.js';

/** A chain is worn out after so many running hours: eight years of two shifts. */
const LIFE_HOURS = 32_000;
/** Wear below this counts as that of a new chain, which still runs in. */
const NEW_PCT = 0.02;
const DAY_SHIFTS = [[360, 1320]] as const;

/** Two shifts from Monday to Friday, a stop of half a minute to ten now and then. */
const SHIFTS: ShiftScenario = Object.freeze({
  week: [DAY_SHIFTS, DAY_SHIFTS, DAY_SHIFTS, DAY_SHIFTS, DAY_SHIFTS, [], []],
  stopsPerHour: 0.35,
  shortestStopS: 30,
  longestStopS: 600,
  scatterS: 240,
  forced: [],
});

const LOAD: LoadScenario = Object.freeze({
  week: [-0.04, 0.02, 0.03, 0.02, -0.03, 0, 0],
  weekSpread: 0.05,
  daySpread: 0.03,
  shiftSpread: 0.03,
  chainMm: 12,
  wearShare: 1,
});

/** A hall in the north: heated in winter, warm in summer. */
const CLIMATE: ClimateScenario = Object.freeze({ meanC: 19, seasonC: 4, dayC: 2, weatherC: 1 });

const SENSORS: SensorScenario = Object.freeze({
  positionMm: 0.08,
  springMm: 0.08,
  temperatureC: 0.3,
  speedMPerMin: 0.02,
  resolutionMm: 0.1,
  resolutionC: 0.1,
  resolutionMPerMin: 0.01,
  jitterMs: 40,
  spikeShare: 0,
  spikeMm: 25,
});

const TRANSPORT: TransportScenario = Object.freeze({ lostShare: 0, doubledShare: 0, lateShare: 0, lateS: 0 });

/** A conveyor that is well: the values that a scenario does not name. */
function defaultConveyorScenario(conveyor: Conveyor): ConveyorScenario {
  const { chain, zones, takeups } = conveyor;
  return {
    speedMPerMin: 4,
    wear: wearOf(chain.wearAtReferencePct, chain.wearLimitPct),
    shifts: SHIFTS,
    load: LOAD,
    heat: Object.fromEntries(zones.map(({ id, referenceC }) => [id, zoneOf(referenceC)])),
    climate: CLIMATE,
    breathing: breathingOf(conveyor),
    sensors: SENSORS,
    takeups: Object.fromEntries(takeups.map(({ id }) => [id, { skewMm: 0.6 }])),
    works: [],
    troubles: [],
  };
}

function wearOf(elongationPct: number, wearLimitPct: number): WearScenario {
  const isNew = elongationPct < NEW_PCT;
  return {
    elongationPct,
    pctPer1000Hours: (1000 * wearLimitPct) / LIFE_HOURS,
    runInTimes: isNew ? 3 : 1,
    runInHours: 200,
    hoursAtStart: isNew ? 0 : 5000,
    dryShare: 0,
  };
}

/** A zone whose reference is warm was measured at work; one whose reference is cold works at 150 °C. */
function zoneOf(referenceC: number): ZoneScenario {
  return {
    workC: referenceC >= 45 ? referenceC : 150,
    heatUpS: 1500,
    coolDownS: 7200,
    startBeforeS: 5400,
    spreadC: 1,
  };
}

/** The loop itself, its halves, what hangs on it, and the links running onto the wheel: about a hundredth of the stroke together. */
function breathingOf({ chain, carriers, takeups }: Conveyor): BreathingScenario {
  const smallest = Math.min(...takeups.map(({ strokeMm }) => strokeMm));
  const unitMm = smallest / 230;
  return {
    waves: [
      { mm: 0.45 * unitMm, per: { roundOfLoop: 1 } },
      { mm: 0.25 * unitMm, per: { roundOfLoop: 3 } },
      { mm: 0.6 * unitMm, per: { roundOfLoop: 37.4 } },
      { mm: 0.4 * unitMm, per: { chainMm: 7.3 * (carriers?.spacingMm ?? 8 * chain.pitchMm) } },
      { mm: 0.1 * unitMm, per: { chainMm: chain.pitchMm } },
    ],
    relaxChainMm: 2,
    relaxS: 3600,
  };
}

/** A plant that is well, with nothing done to it: one part for every conveyor of the site. */
export function defaultScenario(site: Site): PlantScenario {
  return {
    conveyors: Object.fromEntries(site.conveyors.map((conveyor) => [conveyor.id, defaultConveyorScenario(conveyor)])),
    transport: TRANSPORT,
  };
}

/** Parts of a conveyor's scenario that differ from the default; each given section replaces what it names. */
export type ConveyorOverrides = {
  readonly [Section in keyof ConveyorScenario]?: ConveyorScenario[Section] extends readonly unknown[] | number
    ? ConveyorScenario[Section]
    : Partial<ConveyorScenario[Section]>;
};

/** The default scenario with what differs put in. @param overrides - by the conveyor's id */
export function scenarioWith(
  site: Site,
  overrides: Readonly<Record<string, ConveyorOverrides>>,
  transport: Partial<TransportScenario> = {},
): PlantScenario {
  const base = defaultScenario(site);
  return {
    conveyors: Object.fromEntries(
      Object.entries(base.conveyors).map(([id, conveyor]) => [id, conveyorWith(conveyor, overrides[id] ?? {})]),
    ),
    transport: { ...base.transport, ...transport },
  };
}

/** A conveyor's scenario with what differs put in. */
export function conveyorWith(base: ConveyorScenario, overrides: ConveyorOverrides): ConveyorScenario {
  return {
    speedMPerMin: overrides.speedMPerMin ?? base.speedMPerMin,
    wear: { ...base.wear, ...overrides.wear },
    shifts: { ...base.shifts, ...overrides.shifts },
    load: { ...base.load, ...overrides.load },
    heat: { ...base.heat, ...(overrides.heat as ConveyorScenario['heat'] | undefined) },
    climate: { ...base.climate, ...overrides.climate },
    breathing: { ...base.breathing, ...overrides.breathing },
    sensors: { ...base.sensors, ...overrides.sensors },
    takeups: { ...base.takeups, ...(overrides.takeups as ConveyorScenario['takeups'] | undefined) },
    works: overrides.works ?? base.works,
    troubles: overrides.troubles ?? base.troubles,
  };
}
