import { scenarioWith } from '../../agent/simulate/default-scenario.js';
import { even, streamOf } from '../../agent/simulate/hash-noise.js';
import { leastSquares } from '../flow/trend/least-squares.js';
import { at, DAY_MS, lineSite } from './line-site.js';
import type { ScorePlant } from './plant.js';
import { runPlant, type PlantRun } from './run-plant.js';
import { removal } from './works.js';

/** Of the naive reading's interval: Student's t of a least-squares slope. */
const CONFIDENCE = 0.9;
const DAYS = 84;

/** How a plant's rate of wear and its dates fared against what it said of them. */
export interface Held {
  readonly id: string;
  /** The interval of the rate holds the true one. */
  readonly rate: boolean;
  readonly naiveRate: boolean;
  /** …the one at which it really wore over the last eight weeks, with the load as it came. */
  readonly worn: boolean;
  readonly off: number;
}

/** Short plants of one kind and another that differ in chain, pace, shifts, load, heat and chance: what an interval is proved on. */
export function spreadPlants(count: number): ScorePlant[] {
  return Array.from({ length: count }, (_, index) => spreadPlant(index));
}

function spreadPlant(index: number): ScorePlant {
  const stream = streamOf(7001, 'spread');
  const between = (which: number, low: number, high: number): number => low + (high - low) * even(stream, 32 * index + which);
  const pitches = 2 * Math.round(between(0, 500, 1600));
  const heated = even(stream, 32 * index + 1) < 0.5;
  const site = lineSite({
    chain: { pitches, ...(even(stream, 32 * index + 2) < 0.4 ? { stiffness_kn: 15000 } : {}) },
    ambient: heated,
    zones: heated ? [{ id: 'oven', length_mm: 40000, reference_c: 140, lag_s: 300 }] : [],
    periodS: 120,
  });
  const hours = Math.round(between(3, 8, 16));
  const shift = [[360, 360 + 60 * hours]] as const;
  const scenario = scenarioWith(
    site,
    {
      line: {
        wear: { pctPer1000Hours: Math.min(between(4, 0.04, 0.14), fastest(pitches, hours)) },
        shifts: { week: [shift, shift, shift, shift, shift, even(stream, 32 * index + 5) < 0.4 ? shift : [], []] },
        load: {
          weekSpread: between(6, 0.02, 0.1),
          daySpread: between(7, 0.01, 0.08),
          chainMm: (12 * pitches) / 2400,
          // What the load does to wear is the truth's own scatter: the rate meant is that of the usual load.
          wearShare: between(8, 0, 1),
        },
        sensors: { positionMm: between(9, 0.05, 0.3), spikeShare: 0.001 },
        works: even(stream, 32 * index + 10) < 0.5 ? [removal(at(40, 22), 2)] : [],
      },
    },
    { lostShare: 0.003 },
  );
  return {
    id: `spread-${String(index)}`,
    about: 'one of many',
    kind: 'healthy',
    days: DAYS,
    seed: 7100 + index,
    site,
    scenario,
    expects: [],
  };
}

/** So fast that a chain of so many pitches moves its carriage by 110 mm: no stop is reached, no spring goes slack. */
function fastest(pitches: number, hoursADay: number): number {
  const hours = (hoursADay * DAYS * 6) / 7;
  return (100_000 * 110 * 2) / (hours * pitches * 76.2);
}

/** Runs one of them and looks at the end whether its intervals hold. */
export function heldBy(plant: ScorePlant): Held {
  const run = runPlant(plant);
  const last = run.seen.at(-1);
  const rate = last?.trend.elongationPctPerDay;
  const truth = last?.now.elongationPctPerDay ?? NaN;
  const worn = wornPctPerDay(run);
  // The sixty days that the trend looks at.
  const from = (run.naive.at(-1)?.dayNumber ?? 0) - 60;
  const days = run.naive.filter(({ dayNumber }) => dayNumber > from);
  const naive = leastSquares(
    days.map(({ dayNumber }) => dayNumber),
    days.map(({ elongationPct }) => elongationPct),
    CONFIDENCE,
  );
  return {
    id: plant.id,
    rate: rate !== null && rate !== undefined && rate.low <= truth && truth <= rate.high,
    worn: rate !== null && rate !== undefined && rate.low <= worn && worn <= rate.high,
    naiveRate: naive.low <= worn && worn <= naive.high,
    off: (rate?.value ?? NaN) / truth - 1,
  };
}

const WHOLE_WEEKS_DAYS = 56;

function wornPctPerDay({ truth }: PlantRun): number {
  const last = truth.days.at(-1);
  const endMs = Date.parse(last?.date ?? '');
  const first = truth.days.findLast(({ date }) => Date.parse(date) <= endMs - WHOLE_WEEKS_DAYS * DAY_MS);
  if (last === undefined || first === undefined) return NaN;
  return (last.elongationPct - first.elongationPct) / WHOLE_WEEKS_DAYS;
}
