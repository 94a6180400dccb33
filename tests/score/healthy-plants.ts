import { scenarioWith, type ConveyorOverrides } from '../../agent/simulate/default-scenario.js';
import type { TransportScenario } from '../../agent/simulate/scenario.js';
import type { Site } from '../../agent/site/site.js';
import { at, lineSite } from './line-site.js';
import type { ScorePlant } from './plant.js';
import { bothNuts, removal, replacement } from './works.js';

/** Sensors of the shop floor rather than of the catalogue: a spike in five hundred readings. */
const NOISY = { positionMm: 0.15, spikeShare: 0.002, spikeMm: 25 } as const;
/** A network that loses, doubles and delays. */
const UNTIDY: Partial<TransportScenario> = { lostShare: 0.01, doubledShare: 0.002, lateShare: 0.01, lateS: 40 };

/** More than a year and a half each: ten plant-years in all. */
const DAYS = 620;

const ROUND_THE_CLOCK = Array.from({ length: 7 }, () => [[0, 1440]] as const);
const THREE_SHIFTS = [...Array.from({ length: 5 }, () => [[0, 1440]] as const), [[0, 840]] as const, []];

/** A removal every so many days. */
function every(days: number, pitches: number, hour: number): ReturnType<typeof removal>[] {
  return Array.from({ length: Math.floor((DAYS - 1) / days) }, (_, index) => removal(at((index + 1) * days, hour), pitches));
}

function healthy(
  id: string,
  about: string,
  seed: number,
  site: Site,
  overrides: ConveyorOverrides,
  more: { readonly transport?: Partial<TransportScenario>; readonly plantSite?: Site; readonly readingPeriodS?: number } = {},
): ScorePlant {
  const { transport = UNTIDY, ...rest } = more;
  const scenario = scenarioWith(rest.plantSite ?? site, { line: overrides }, transport);
  return { id, about, kind: 'healthy', days: DAYS, seed, site, scenario, expects: [], ...rest };
}

const FURNACE = [
  { id: 'dryer', length_mm: 24000, reference_c: 95, lag_s: 240 },
  { id: 'furnace', length_mm: 36000, reference_c: 190, lag_s: 300 },
];

/** Plants that are well and looked after: all that is done to them is recorded. Nothing they show is a reason for an alarm. */
export function healthyPlants(): ScorePlant[] {
  const hot = lineSite({ zones: FURNACE, ambient: true, chain: { stiffness_kn: 20000 } });
  const told = lineSite({ runningSignal: false });
  const toldPlant = lineSite({ runningSignal: false, zones: [{ id: 'oven', length_mm: 60000, reference_c: 160, lag_s: 300 }] });
  const two = lineSite({
    zones: [{ id: 'oven', length_mm: 50000, reference_c: 140, lag_s: 300 }],
    ambient: true,
    chain: { pitches: 3600 },
    takeups: [{ id: 'tu1' }, { id: 'tu2', positionMm: 70 }],
  });
  const imperial = lineSite({
    units: 'imperial',
    ambient: true,
    takeups: [{ position: { unit: 'mA', scale: { from: [4, 20], to: [0, 250] }, resolution_mm: 0.1 }, wrapDeg: 180 }],
  });
  const springs = lineSite({
    ambient: true,
    chain: { pitches: 1600, stiffness_kn: 9000 },
    takeups: [{ ownSprings: true }],
  });
  const fresh = lineSite({
    zones: [{ id: 'oven', length_mm: 40000, reference_c: 20, lag_s: 600 }],
    chain: { pitch_mm: 80, pitches: 2250, wear_at_reference_pct: 0 },
  });
  return [
    healthy('two-zones', 'dryer and furnace with lag, stiffness given, shortened every 17 weeks', 11, hot, {
      sensors: NOISY,
      works: [...every(119, 2, 21.5), ...bothNuts(at(200, 13), 1)],
    }),
    healthy(
      'round-the-clock',
      'always running, no running signal, no temperatures; its oven holds its temperature',
      12,
      told,
      { sensors: NOISY, shifts: { week: ROUND_THE_CLOCK }, works: every(55, 2, 9) },
      { plantSite: toldPlant, readingPeriodS: 120 },
    ),
    healthy('two-take-ups', 'one chain over two take-ups, an oven', 13, two, {
      sensors: NOISY,
      works: [...every(158, 4, 20.5)],
    }),
    healthy('imperial', 'current loops, read in inches, three shifts', 14, imperial, {
      sensors: NOISY,
      shifts: { week: THREE_SHIFTS },
      works: every(80, 2, 15),
      troubles: [{ kind: 'gap', fromMs: at(150, 8), toMs: at(150, 15) }],
    }),
    healthy('own-spring-sensors', 'springs with sensors of their own, a soft chain, nuts turned twice', 15, springs, {
      sensors: NOISY,
      works: [...every(175, 2, 20.5), ...bothNuts(at(90, 14), 2), ...bothNuts(at(300, 14), -2)],
    }),
    healthy('new-chain', 'a new chain that runs in, heat from cold every morning, replaced after a year', 16, fresh, {
      sensors: NOISY,
      wear: { runInTimes: 3 },
      works: [
        removal(at(110, 21), 2),
        removal(at(230, 21), 2),
        removal(at(350, 21), 2),
        replacement(at(404, 12), 2248),
        removal(at(520, 21), 2),
      ],
    }),
  ];
}
