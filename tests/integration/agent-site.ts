import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';

export const SITE_ID = 'alder-point';
/** When the demo plant's take-ups were last set, and the tests' readings begin. */
export const BEGIN_MS = Date.parse('2026-02-02T06:00:00Z');

const takeup = (id: string, sides: string): string => `
      - id: ${id}
        location: column C14, after the drive
        wrap_deg: 180
        stroke_mm: 230
        nut_lead_mm: 3
        spring: { free_mm: 420, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:${sides}`;
const SET = 'set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 }';
const CHAIN = '{ pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }';

/**
 * A site with each way in which a sensor can speak: `enamel/tu1` by the default topics, `enamel/tu2` with both sides in one payload
 * and a time of its own, `dryer/tu1` as 4–20 mA with NE 43 failure bands. The furnace's temperature belongs to no take-up.
 */
export const SITE_TEXT = `
site: { id: ${SITE_ID}, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: enamel
    name: Enamel furnace line
    chain: ${CHAIN}
    zones:
      - { id: furnace, length_mm: 60000, reference_c: 20, temperature: {} }
    takeups:${takeup(
      'tu1',
      `
          left: { ${SET} }
          right: { ${SET} }`,
    )}${takeup(
      'tu2',
      `
          left: { position: { topic: plant/enamel/tu2, pointer: /travel/0, time_pointer: /at }, ${SET} }
          right: { position: { topic: plant/enamel/tu2, pointer: /travel/1, time_pointer: /at }, ${SET} }`,
    )}
  - id: dryer
    chain: ${CHAIN}
    takeups:${takeup(
      'tu1',
      `
          left: { position: { unit: mA, scale: { from: [4, 20], to: [0, 240] } }, ${SET} }
          right: { position: { unit: mA, scale: { from: [4, 20], to: [0, 240] } }, ${SET} }`,
    )}
`;

/** The site of `SITE_TEXT`, read. */
export function agentSite(text: string = SITE_TEXT): Site {
  const reading = readSite(text, 'site.yaml');
  if (!reading.ok) throw new Error(reading.faults.map(({ key, message }) => `${key}: ${message}`).join('\n'));
  return reading.site;
}
