import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';

const TAKEUP = `
        location: column C14
        wrap_deg: 180
        stroke_mm: 230
        nut_lead_mm: 3
        spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }`;
const CHAIN = '{ pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }';

/** A site with one take-up on `enamel` and two on `dryer`. */
export function siteOfTwo(): Site {
  const reading = readSite(
    `
site: { id: alder-point, timezone: Europe/Oslo }
conveyors:
  - id: enamel
    chain: ${CHAIN}
    takeups:
      - id: tu1${TAKEUP}
  - id: dryer
    chain: ${CHAIN}
    takeups:
      - id: north${TAKEUP}
      - id: south${TAKEUP}
`,
    'site.yaml',
  );
  if (!reading.ok) throw new Error(reading.faults.map(({ key, message }) => `${key}: ${message}`).join('\n'));
  return reading.site;
}
