import { formatFault } from '../../../agent/site/format-fault.js';
import { readSite } from '../../../agent/site/read-site.js';
import type { Site } from '../../../agent/site/site.js';

type Keys = Readonly<Record<string, unknown>>;

/** What a test's site says differently from the plain one; keys as in a site file. */
export interface TestSite {
  readonly timezone?: string;
  readonly chain?: Keys;
  /** Signals, zones, ambient and the like of the conveyor `line`. */
  readonly conveyor?: Keys;
  /** Keys of the take-up `tu1`. */
  readonly takeup?: Keys;
  /** Keys of the position signals of all sides: period, unit, scale. */
  readonly position?: Keys;
  /** Take-ups beside `tu1`, each with its own keys over those of `tu1`. */
  readonly others?: readonly Keys[];
}

/** When the sites of the tests were set and their readings begin: a Monday, 07:00 in Oslo. */
export const START_MS = Date.UTC(2026, 0, 5, 6);

const SPRING = { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 } as const;
const AT = '2026-01-05T06:00:00Z';

/** A side set at 40 mm with a spring of 200 mm, so that it is free at 160 mm. */
export function side(own: Keys = {}): Keys {
  return { position: {}, set: { at: AT, position_mm: 40, spring_mm: 200 }, ...own };
}

/**
 * One conveyor `line` with one take-up `tu1` at a 180° turn, read once in ten seconds: 3200 pitches of 76.2 mm, stroke 230 mm, reference
 * at 40 mm. Read as a site file is, so that what a test says differently is checked as well.
 */
export function testSite(own: TestSite = {}): Site {
  const position = { period_s: 10, ...own.position };
  const tu1 = {
    id: 'tu1',
    location: 'after the drive',
    wrap_deg: 180,
    stroke_mm: 230,
    nut_lead_mm: 3,
    spring: SPRING,
    reference: { at: AT, position_mm: 40 },
    sides: { left: side({ position }), right: side({ position }) },
    ...own.takeup,
  };
  const file = {
    site: { id: 'plant', timezone: own.timezone ?? 'Europe/Oslo' },
    conveyors: [
      {
        id: 'line',
        chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2, ...own.chain },
        ...own.conveyor,
        takeups: [tu1, ...(own.others ?? []).map((other) => ({ ...tu1, ...other }))],
      },
    ],
  };
  // JSON is YAML.
  const reading = readSite(JSON.stringify(file), 'test-site.yaml');
  if (!reading.ok) throw new Error(reading.faults.map(formatFault).join('\n'));
  return reading.site;
}
