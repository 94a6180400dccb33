import { readSite } from '../../agent/site/read-site.js';
import type { Site } from '../../agent/site/site.js';

const LINES = ['Enamel furnace line', 'Paint line', 'Wash line', 'Assembly line', 'Pickling line', 'Packing line'];
const PLACES = ['column C14, after the drive', 'pit under the furnace mouth', 'gallery, north end', 'beside the washer, 4 m up'];

/** A site of the invented enamelware works with as many take-ups as asked for, two on each conveyor, none of them alike in stroke. @param ofLine - keys of every conveyor */
export function siteWith(takeups: number, extra = '', ofLine = ''): Site {
  const conveyors = Array.from({ length: Math.ceil(takeups / 2) }, (_, index) =>
    conveyor(index, Math.min(2, takeups - 2 * index), extra, ofLine),
  );
  const head = 'site: { id: alder-point, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }\nconveyors:\n';
  const reading = readSite(head + conveyors.join(''), 'a-site.yaml');
  if (!reading.ok) throw new Error(reading.faults.map(({ key, message }) => `${key}: ${message}`).join('\n'));
  return reading.site;
}

function conveyor(index: number, takeups: number, extra: string, ofLine: string): string {
  const name = `${LINES[index % LINES.length] ?? ''}${index < LINES.length ? '' : ` ${index + 1}`}`;
  return `
  - id: line${index + 1}
    name: ${name}
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2.0, min_tension_n: 250, max_tension_n: 4000 }
    ${ofLine}
    takeups:
${Array.from({ length: takeups }, (_, nth) => takeup(2 * index + nth, nth, extra)).join('')}`;
}

function takeup(count: number, nth: number, extra: string): string {
  const stroke = [230, 305, 180, 460][count % 4] ?? 230;
  return `
      - id: tu${nth + 1}
        location: "${PLACES[count % PLACES.length] ?? ''}"
        wrap_deg: 180
        stroke_mm: ${stroke}
        spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { position: {}, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { position: {}, set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
        ${extra}
`;
}
