// Milliseconds of a removal plan, against the 50 ms in which it is to follow a person's typing: a usual take-up, and one with so long a
// stroke and so short a pitch that hundreds of removals stand side by side.
// usage: npm run bench plan [-- plans, default 200]
import { planRemoval } from '../../dist/agent/plan/removal-plan.js';
import { takeupState } from '../../dist/agent/plan/takeup-state.js';
import { readSite } from '../../dist/agent/site/read-site.js';
import { median, table } from './report.mjs';

const ALLOWED_MS = 50;

/** @type {(pitchMm: number, pitches: number, repeat: number, strokeMm: number) => string} */
const siteWith = (pitchMm, pitches, repeat, strokeMm) => `
site: { id: bench, name: Bench, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: line
    chain: { pitch_mm: ${pitchMm}, pitches: ${pitches}, repeat_pitches: ${repeat}, wear_limit_pct: 2, stiffness_kn: 9000 }
    carriers: { spacing_mm: 609.6, min_spacing_mm: 457.2 }
    takeups:
      - id: tu1
        location: after the drive
        wrap_deg: 180
        stroke_mm: ${strokeMm}
        spring: { free_mm: 320, rate_n_per_mm: 18, solid_mm: 150, clearance_mm: 12, per_side: 1 }
        nut_lead_mm: 3
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
`;

/** @type {readonly (readonly [name: string, site: string, positionMm: number])[]} */
const PLANTS = [
  ['usual', siteWith(76.2, 3200, 2, 230), 210],
  ['long stroke, short pitch', siteWith(25.4, 20000, 1, 3000), 2900],
];

/** @type {(text: string, positionMm: number) => () => { readonly choices: readonly unknown[] }} */
const planned = (text, positionMm) => {
  const read = readSite(text, 'bench.yaml');
  if (!read.ok) throw new Error('the site of the bench is no good');
  const [conveyor] = read.site.conveyors;
  const [takeup] = conveyor.takeups;
  const standing = takeupState(conveyor, takeup, { positionMm, elongationPct: 0.1, springLeftMm: 285, springRightMm: 283 });
  if (!standing.ok) throw new Error('the bench take-up cannot stand so');
  return () => planRemoval(conveyor, takeup, standing.state);
};

/** @param {readonly string[]} args */
export function run(args) {
  const plans = Number(args[0] ?? 200);
  const rows = PLANTS.map(([name, text, positionMm]) => {
    const plan = planned(text, positionMm);
    let choices = 0;
    const each = Array.from({ length: plans }, () => {
      const begun = performance.now();
      choices = plan().choices.length;
      return performance.now() - begun;
    });
    const usual = median(each);
    return [
      `${name}, ${choices} removals`,
      `first ${(each[0] ?? NaN).toFixed(1)} ms, then ${usual.toFixed(3)} ms: ${((100 * usual) / ALLOWED_MS).toFixed(1)} % of ${ALLOWED_MS} ms`,
    ];
  });
  table('Removal plans', rows);
}
