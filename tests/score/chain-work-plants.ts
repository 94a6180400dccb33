import { NEVER } from '../../agent/simulate/work.js';
import { lineSite } from './line-site.js';
import type { Expected, ScorePlant } from './plant.js';
import { HOUR, saturday, troubled, wednesday } from './troubled-plants.js';
import { bothNuts, insertion, nutTurn, other, removal, replacement, rezero } from './works.js';

/** A removal or an insertion shows in the first settled window; the alarm waits its hour, the finding need not. */
function chainWork(what: string, timeMs: number, pitches: number, over = 0): Expected {
  const key = pitches > 0 ? 'chain-removed' : 'chain-inserted';
  return { what, by: [key], from: timeMs, onDelayMs: HOUR + over, running: true, pitches };
}

const UNRECORDED = (timeMs: number): Expected => ({
  what: 'no entry says why',
  by: ['change-unrecorded'],
  from: timeMs,
  onDelayMs: HOUR,
  running: true,
});

const STIFF = { chain: { pitches: 1600, stiffness_kn: 9000 } } as const;

/** Work on chain, nuts, springs and sensors: recorded, recorded wrongly, not recorded. */
export function chainWorkPlants(): ScorePlant[] {
  const [mid, weekend] = [wednesday(3), saturday(3)];
  const ownSprings = lineSite({ ...STIFF, ambient: true, takeups: [{ ownSprings: true }] });
  const soft = lineSite({ ...STIFF, ambient: true });
  const short = lineSite({
    zones: [{ id: 'oven', length_mm: 50000, reference_c: 140, lag_s: 300 }],
    takeups: [{ positionMm: 120, springMm: 380 }],
  });
  const longer = lineSite({
    ambient: true,
    takeups: [
      {
        strokeMm: 400,
        positionMm: 270,
        springMm: 380,
        spring: { free_mm: 700, rate_n_per_mm: 5, solid_mm: 120, clearance_mm: 15, per_side: 1 },
      },
    ],
  });
  return [
    troubled(
      'removed-2',
      '2 pitches out in a stop of the shift, not recorded, confirmed a day later',
      101,
      { works: [removal(mid, 2, NEVER)] },
      [chainWork('2 pitches out', mid, 2), UNRECORDED(mid)],
      { site: short, confirms: true },
    ),
    troubled(
      'removed-4',
      '4 pitches out over the weekend, not recorded: found on a cold Monday',
      102,
      { works: [removal(weekend, 4, NEVER)] },
      [chainWork('4 pitches out', weekend, 4), UNRECORDED(weekend)],
      { site: longer, confirms: true },
    ),
    troubled(
      'removed-6',
      '6 pitches out, not recorded, never confirmed',
      103,
      { works: [removal(mid, 6, NEVER)] },
      [chainWork('6 pitches out', mid, 6), UNRECORDED(mid)],
      { site: longer },
    ),
    troubled(
      'removed-late',
      '2 pitches out, written down 20 h late',
      104,
      { works: [removal(mid, 2, { how: 'late', byMs: 20 * HOUR })] },
      [chainWork('2 pitches out', mid, 2), UNRECORDED(mid)],
      { site: short },
    ),
    troubled(
      'removed-miscounted',
      '4 pitches out, 2 written down, corrected two days later',
      105,
      { works: [removal(mid, 4, { how: 'wrongly', pitches: 2, correctedAfterMs: 48 * HOUR })] },
      [chainWork('4 pitches out', mid, 4)],
      { site: longer },
    ),
    troubled(
      'removed-contradicted',
      '4 pitches out, 2 written down, never corrected',
      106,
      { works: [removal(weekend, 4, { how: 'wrongly', pitches: 2, correctedAfterMs: null })] },
      [chainWork('4 pitches out', weekend, 4)],
      { site: longer },
    ),
    troubled(
      'removed-recorded',
      '2 pitches out on a weekend, recorded',
      107,
      { works: [removal(weekend, 2)] },
      [chainWork('2 pitches out', weekend, 2)],
      { site: short },
    ),
    troubled(
      'inserted',
      '2 pitches put in, not recorded, confirmed a day later',
      108,
      { works: [insertion(mid, 2, NEVER)] },
      [chainWork('2 pitches in', mid, -2), UNRECORDED(mid)],
      { confirms: true },
    ),
    troubled('replaced', 'a new chain, recorded', 109, { works: [replacement(saturday(5), 2410)] }, [], { days: 75 }),
    troubled(
      'nut-own-sensor',
      'a nut turned by three turns, not recorded, the springs have sensors of their own',
      110,
      { works: [nutTurn(mid, 'left', 3, NEVER)] },
      [{ what: 'a nut turned', by: ['nut-turned'], from: mid, onDelayMs: HOUR, running: true }],
      { site: ownSprings },
    ),
    troubled('nut-recorded', 'both nuts turned by two, recorded, no spring sensors', 111, { works: bothNuts(mid, 2) }, [], { site: soft }),
    troubled('rezeroed-unrecorded', 'one sensor set to read 12 mm more, not recorded', 112, { works: [rezero(mid, 'left', 75, NEVER)] }, [
      { what: 'a step', by: ['step-unexplained', 'sensor-doubtful'], from: mid, onDelayMs: HOUR, running: true },
      UNRECORDED(mid),
    ]),
    troubled('rezeroed-recorded', 'one sensor set to read 12 mm more, recorded', 113, { works: [rezero(mid, 'left', 75)] }, []),
    troubled(
      'spring-replaced',
      'a spring of another rate put in, recorded',
      114,
      {
        works: [
          other({
            kind: 'spring-replaced',
            conveyor: 'line',
            takeup: 'tu1',
            timeMs: mid,
            side: 'left',
            spring: { freeMm: 500, rateNPerMm: 11, solidMm: 180, clearanceMm: 15, perSide: 1 },
            springMm: 350,
          }),
        ],
      },
      [],
      { site: soft },
    ),
  ];
}
