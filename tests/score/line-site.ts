import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';

/** Where every plant of the score begins: a Monday. */
export const START_MS = Date.parse('2026-01-05T05:00:00Z');
export const DAY_MS = 86_400_000;
export const HOUR_MS = 3600_000;

/** An instant of the plant's life. @param day - 0 is the first Monday; @param hour - of that day, UTC */
export function at(day: number, hour = 0): number {
  return Date.parse('2026-01-05T00:00:00Z') + day * DAY_MS + hour * HOUR_MS;
}

type Json = Readonly<Record<string, unknown>>;

export interface TakeupParts {
  readonly id?: string;
  readonly wrapDeg?: number;
  readonly strokeMm?: number;
  /** Where it stands at the reference. */
  readonly positionMm?: number;
  readonly springMm?: number;
  readonly spring?: Json;
  readonly ownSprings?: boolean;
  /** Put into the position signals: unit, scale, valid. */
  readonly position?: Json;
  readonly limits?: Json;
}

export interface LineParts {
  readonly chain?: Json;
  readonly zones?: readonly Json[];
  readonly ambient?: boolean;
  /** Without it the conveyor counts as always running. */
  readonly runningSignal?: boolean;
  readonly units?: 'metric' | 'imperial';
  readonly periodS?: number;
  readonly takeups?: readonly TakeupParts[];
}

const CHAIN: Json = {
  pitch_mm: 76.2,
  pitches: 2400,
  repeat_pitches: 2,
  wear_limit_pct: 2.0,
  wear_at_reference_pct: 0.4,
  expansion_per_c: 1.17e-5,
  min_tension_n: 350,
  max_tension_n: 2800,
};

/** Long springs that one removal from the next does not let go slack. */
const SPRING: Json = { free_mm: 520, rate_n_per_mm: 9, solid_mm: 190, clearance_mm: 15, per_side: 1 };

/** A site with one conveyor, `line`, put together from its parts, through the very reader of site files. */
export function lineSite(parts: LineParts = {}): Site {
  const periodS = parts.periodS ?? 60;
  const signal = (more: Json = {}): Json => ({ period_s: periodS, ...more });
  const takeups = (parts.takeups ?? [{}]).map((takeup, index) => {
    const positionMm = takeup.positionMm ?? 50;
    const side = {
      position: signal(takeup.position ?? { resolution_mm: 0.1, valid: [-5, (takeup.strokeMm ?? 230) + 10] }),
      set: { at: '2026-01-05T05:00:00Z', position_mm: positionMm, spring_mm: takeup.springMm ?? 330 },
      ...(takeup.ownSprings ? { spring: signal({ resolution_mm: 0.1 }) } : {}),
    };
    return {
      id: takeup.id ?? `tu${String(index + 1)}`,
      location: 'after the drive',
      wrap_deg: takeup.wrapDeg ?? 180,
      stroke_mm: takeup.strokeMm ?? 230,
      spring: takeup.spring ?? SPRING,
      nut_lead_mm: 3,
      reference: { at: '2026-01-05T05:00:00Z', position_mm: positionMm },
      sides: { left: side, right: side },
      ...(takeup.limits ? { limits: takeup.limits } : {}),
    };
  });
  const file = {
    site: { id: 'score', name: 'A line of the score', timezone: 'Europe/Oslo', units: parts.units ?? 'metric' },
    conveyors: [
      {
        id: 'line',
        name: 'Line',
        chain: { ...CHAIN, ...parts.chain },
        ...((parts.runningSignal ?? true) ? { signals: { running: { period_s: Math.max(periodS, 60) } } } : {}),
        zones: (parts.zones ?? []).map((zone) => ({ temperature: signal(), ...zone })),
        ...(parts.ambient ? { ambient: { reference_c: 20, temperature: signal() } } : {}),
        takeups,
      },
    ],
  };
  const read = readSite(JSON.stringify(file), 'score.yaml');
  if (!read.ok) throw new Error(read.faults.map(({ key, message }) => `${key}: ${message}`).join('\n'));
  return read.site;
}
