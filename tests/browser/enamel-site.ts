/** One line with one take-up: the site of tests that start the whole program. */
export const ENAMEL_SITE = `
site: { id: works, name: Alder Point Cookware, timezone: Europe/Oslo, units: metric }
conveyors:
  - id: enamel
    name: Enamel furnace line
    chain: { pitch_mm: 76.2, pitches: 3200, repeat_pitches: 2, wear_limit_pct: 2 }
    takeups:
      - id: tu1
        location: column C14
        wrap_deg: 180
        stroke_mm: 230
        spring: { free_mm: 460, rate_n_per_mm: 9.5, solid_mm: 190, clearance_mm: 16, per_side: 1 }
        reference: { at: 2026-01-05T06:00:00Z, position_mm: 40 }
        sides:
          left: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
          right: { set: { at: 2026-01-05T06:00:00Z, position_mm: 40, spring_mm: 250 } }
`;
