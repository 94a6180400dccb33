import { scenarioWith, type ConveyorOverrides } from '../../agent/simulate/default-scenario.js';
import type { Site } from '../../agent/site/site.js';
import { at, lineSite, type TakeupParts } from './line-site.js';
import type { Expected, ScorePlant } from './plant.js';

/** What a plant of the score says beyond its troubles. */
export interface TroubledParts extends Partial<Pick<ScorePlant, 'plantSite' | 'readingPeriodS' | 'dense' | 'confirms'>> {
  readonly days?: number;
  readonly site?: Site;
}

export const HOUR = 3600_000;
export const MINUTE = 60_000;

/** An oven line, cold every morning, warm at work. */
const OVEN_LINE = lineSite({ zones: [{ id: 'oven', length_mm: 50000, reference_c: 140, lag_s: 300 }], ambient: true });
/** The same, read every ten seconds at the trouble, as a sudden move needs. */
export function quickLine(takeup: TakeupParts = {}): Site {
  return lineSite({
    zones: [{ id: 'oven', length_mm: 50000, reference_c: 140, lag_s: 300, temperature: { period_s: 10 } }],
    periodS: 10,
    takeups: [takeup],
  });
}

/** Noise and spikes are never left out. */
const SENSORS = { positionMm: 0.12, spikeShare: 0.001, spikeMm: 25 } as const;
const TRANSPORT = { lostShare: 0.002, doubledShare: 0.001, lateShare: 0.005, lateS: 30 } as const;

/** A plant that something happens to. */
export function troubled(
  id: string,
  about: string,
  seed: number,
  overrides: ConveyorOverrides,
  expects: readonly Expected[],
  parts: TroubledParts = {},
): ScorePlant {
  const { site = OVEN_LINE, days = 45, ...rest } = parts;
  const sensors = { ...SENSORS, ...overrides.sensors };
  const scenario = scenarioWith(rest.plantSite ?? site, { line: { ...overrides, sensors } }, TRANSPORT);
  return { id, about, kind: 'troubled', days, seed, site, scenario, expects, ...rest };
}

/** Reads every minute, and every ten seconds from half a day before an instant to so long after. */
export function quick(timeMs: number, hoursAfter: number): Pick<TroubledParts, 'site' | 'readingPeriodS' | 'dense'> {
  return { site: quickLine(), readingPeriodS: 60, dense: { fromMs: timeMs - 12 * HOUR, toMs: timeMs + hoursAfter * HOUR, periodS: 10 } };
}

/** In the middle of a shift, on the Wednesday of week `week`. */
export function wednesday(week: number, hour = 11): number {
  return at(7 * week + 2, hour);
}

/** Saturday at noon, when it stands. */
export function saturday(week: number): number {
  return at(7 * week + 5, 12);
}
