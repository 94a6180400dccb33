import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';
import { conveyorWith, defaultScenario, type ConveyorOverrides } from '../../agent/simulate/default-scenario.js';
import { createPlant, type Plant, type PlantSettings } from '../../agent/simulate/plant.js';
import type { PlantScenario } from '../../agent/simulate/scenario.js';

export const MINUTE_MS = 60_000;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;
/** A Monday, 00:00 UTC. */
export const START_MS = Date.UTC(2026, 2, 2);

const AT = '2026-03-01T00:00:00Z';
/** A spring so long that its ends are out of the way. */
const SPRING = { free_mm: 1000, rate_n_per_mm: 10, solid_mm: 100, clearance_mm: 20, per_side: 1 };

type Part = Readonly<Record<string, unknown>>;

export interface TakeupParts {
  readonly id?: string;
  readonly wrap_deg?: number;
  readonly stroke_mm?: number;
  readonly spring?: Part;
  readonly at_mm?: number;
  readonly spring_mm?: number;
  readonly position?: Part;
  readonly own_spring?: boolean;
  readonly turn_friction?: number;
}

/** A site with one conveyor, c, as its file would have it, with what a test needs put in. */
export function siteWith(parts: { readonly chain?: Part; readonly conveyor?: Part; readonly takeups?: readonly TakeupParts[] } = {}): Site {
  const takeups = (parts.takeups ?? [{}]).map((takeup, index) => {
    const { id = `tu${String(index + 1)}`, at_mm = 300, spring_mm = 500, position = {}, own_spring = false } = takeup;
    const side = { position, ...(own_spring ? { spring: {} } : {}), set: { at: AT, position_mm: at_mm, spring_mm } };
    return {
      id,
      location: 'somewhere',
      wrap_deg: takeup.wrap_deg ?? 180,
      turn_friction: takeup.turn_friction ?? 0,
      stroke_mm: takeup.stroke_mm ?? 800,
      spring: takeup.spring ?? SPRING,
      nut_lead_mm: 3,
      reference: { at: AT, position_mm: at_mm },
      sides: { left: side, right: side },
    };
  });
  const conveyor = {
    id: 'c',
    chain: { pitch_mm: 100, pitches: 2000, repeat_pitches: 2, wear_limit_pct: 2, wear_at_reference_pct: 1, ...parts.chain },
    signals: { running: {} },
    ...parts.conveyor,
    takeups,
  };
  // JSON is YAML.
  const reading = readSite(JSON.stringify({ site: { id: 's', timezone: 'UTC' }, conveyors: [conveyor] }), 'test');
  if (!reading.ok) throw new Error(reading.faults.map(({ key, message }) => `${key}: ${message}`).join('\n'));
  return reading.site;
}

/** Runs day and night, with neither wear, load, weather, breathing nor noise: what moves is what the test moves. */
const QUIET: ConveyorOverrides = {
  wear: { pctPer1000Hours: 0, runInTimes: 1, dryShare: 0 },
  shifts: { week: Array.from({ length: 7 }, () => [[0, 1440]] as const), stopsPerHour: 0, scatterS: 0 },
  load: { week: [0, 0, 0, 0, 0, 0, 0], weekSpread: 0, daySpread: 0, shiftSpread: 0, chainMm: 0 },
  climate: { meanC: 20, seasonC: 0, dayC: 0, weatherC: 0 },
  breathing: { waves: [], relaxChainMm: 0 },
  sensors: { positionMm: 0, springMm: 0, temperatureC: 0, speedMPerMin: 0, resolutionMm: 0.01 },
  takeups: { tu1: { skewMm: 0 }, tu2: { skewMm: 0 } },
};

function quietScenario(site: Site, over: ConveyorOverrides = {}): PlantScenario {
  const base = defaultScenario(site);
  return {
    ...base,
    conveyors: Object.fromEntries(
      Object.entries(base.conveyors).map(([id, usual]) => [id, conveyorWith(conveyorWith(usual, QUIET), over)]),
    ),
  };
}

export function quietPlant(site: Site, over: ConveyorOverrides = {}, settings: Partial<PlantSettings> = {}): Plant {
  return createPlant(site, quietScenario(site, over), { seed: 1, startMs: START_MS, ...settings });
}

export interface Reading {
  readonly timeMs: number;
  readonly signal: string;
  readonly raw: number;
}

/** Lets time pass and gives all that was read. */
export function readingsTo(plant: Plant, toMs: number): Reading[] {
  const readings: Reading[] = [];
  plant.advanceTo(toMs, (timeMs, signal, raw) => readings.push({ timeMs, signal, raw }));
  return readings;
}

/** Those of one signal, by the end of its name. */
export function of(readings: readonly Reading[], signal: string): Reading[] {
  return readings.filter((reading) => reading.signal.endsWith(signal));
}

/** Lets time pass unread. */
export function passTo(plant: Plant, toMs: number): void {
  plant.advanceTo(toMs, () => undefined);
}

/** Where the first take-up really is. */
export function positionOf(plant: Plant, takeup = 'tu1'): number {
  return plant.truth().now.find((now) => now.takeup === takeup)!.positionMm;
}
