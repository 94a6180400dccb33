import type { TruthDay, TruthNow } from '../../agent/simulate/truth.js';
import type { Conveyor } from '../../agent/site/site.js';
import { leastSquares } from '../flow/trend/least-squares.js';
import { at, DAY_MS } from './line-site.js';
import type { PlantRun, Seen } from './run-plant.js';

/** A stroke-out date beside the true one. */
export interface DateError {
  readonly day: number;
  readonly daysLeft: number;
  /** Told less true, over the days left. NaN where none was told. */
  readonly off: number;
  readonly naiveOff: number;
  /** The true date lies between the early and the late one. */
  readonly held: boolean;
}

/** A date is asked for once so many days of this chain were seen. */
const SEEN_DAYS = 60;
/** A new chain wears faster at first: by less than a tenth of its usual pace after 600 running hours in the scenario, eight weeks. */
const RUN_IN_DAYS = 56;
/** Nearer than this the whole days in which a date is told are a tenth of it and more. */
const LEAST_LEFT_DAYS = 20;

/** The stroke-out dates that were told while nothing but steady wear was going on. */
export function dateErrors(run: PlantRun): DateError[] {
  return run.seen.filter((seen) => asked(run, seen)).flatMap((seen) => dateError(run, seen) ?? []);
}

function asked({ truth, plant }: PlantRun, { day, now }: Seen): boolean {
  const past = truth.steps.filter(({ timeMs }) => timeMs <= now.timeMs);
  const replaced = past.filter(({ kind }) => kind === 'chain-replaced').at(-1)?.timeMs;
  const isNew = replaced !== undefined || plant.site.conveyors[0]?.chain.wearAtReferencePct === 0;
  const fromMs = replaced ?? at(0);
  // A trouble with chain or sensor makes another wear, or hides it; a forecast knows of it once it has lasted.
  const troubled = truth.faults.some(({ kind, fromMs: since }) => kind !== 'gap' && since <= now.timeMs);
  const workMs = past.at(-1)?.timeMs ?? -Infinity;
  const ranSince = truth.days.some(
    ({ date, runHours }) => Date.parse(date) > workMs && Date.parse(date) + DAY_MS <= now.timeMs && runHours > 4,
  );
  const told = past.every(({ recorded }) => recorded === 'rightly');
  const seenMs = (SEEN_DAYS + (isNew ? RUN_IN_DAYS : 0)) * DAY_MS;
  return day >= SEEN_DAYS && now.timeMs - fromMs >= seenMs && !troubled && ranSince && told;
}

function dateError(run: PlantRun, seen: Seen): DateError | undefined {
  const { now, trend, day } = seen;
  const trueMs = strokeOutMs(run, now);
  if (trueMs === undefined) return undefined;
  const daysLeft = (trueMs - now.timeMs) / DAY_MS;
  if (daysLeft < LEAST_LEFT_DAYS) return undefined;
  const { strokeOut } = trend;
  const off = (date: string | undefined): number =>
    date === undefined ? NaN : (Date.parse(`${date}T12:00:00Z`) - trueMs) / (trueMs - now.timeMs);
  return {
    day,
    daysLeft,
    off: off(strokeOut?.date),
    naiveOff: (naiveStrokeOutMs(run, seen) - trueMs) / (trueMs - now.timeMs),
    held:
      strokeOut !== null &&
      Date.parse(`${strokeOut.early}T00:00:00Z`) <= trueMs &&
      (strokeOut.late === null || Date.parse(`${strokeOut.late}T23:59:59Z`) >= trueMs),
  };
}

/**
 * When the settled position and the normal excess reach the outer stop (mechanics §6), by the true figures: half the to-and-fro, and
 * what the warmest day so far was longer than the last, at its warmest hour. The load of the last day is taken off: it goes by.
 */
function strokeOutMs({ truth, plant }: PlantRun, now: TruthNow): number | undefined {
  const conveyor = plant.site.conveyors[0];
  const days = truth.days.filter(({ date }) => Date.parse(date) + DAY_MS <= now.timeMs + DAY_MS / 2);
  const last = days.filter(({ date }) => date === days.at(-1)?.date);
  const own = last.find(({ takeup }) => takeup === now.takeup);
  if (now.strokeOutMs === null || conveyor === undefined || own === undefined || !(now.travelMmPerDay > 0)) return undefined;
  const gains = conveyor.takeups.reduce((sum, { gain }) => sum + gain, 0);
  const loadMm = (takenUpMm(conveyor, last) - closureMm(conveyor, own)) / gains;
  const measured = conveyor.zones.length > 0 || conveyor.ambient !== undefined;
  const heatMm = measured ? (Math.max(...days.map(({ thermalMm }) => thermalMm)) - own.thermalMm + afternoonMm(plant, own)) / gains : 0;
  return now.strokeOutMs + ((loadMm - heatMm) / now.travelMmPerDay) * DAY_MS;
}

function takenUpMm({ takeups }: Conveyor, days: readonly TruthDay[]): number {
  return days.reduce((sum, { takeup, positionMm }) => sum + positionMm * (takeups.find(({ id }) => id === takeup)?.gain ?? NaN), 0);
}

/** Chain that there is to be taken up at the usual load: n·p·(1+ε) + thermal + elastic − C (mechanics §2). */
function closureMm({ chain, takeups }: Conveyor, { pitches, elongationPct, thermalMm, elasticMm }: TruthDay): number {
  const reference = takeups.reduce((sum, { gain, reference: { positionMm } }) => sum + gain * positionMm, 0);
  const trackMm = chain.pitches * chain.pitchMm * (1 + chain.wearAtReferencePct / 100) - reference;
  return pitches * chain.pitchMm * (1 + elongationPct / 100) + thermalMm + elasticMm - trackMm;
}

/** A shift from six to ten in the evening has on the average 0.4 of the afternoon's warmth, as the climate of the simulation goes. */
const AFTERNOON_SHARE = 0.6;

/** By how much the chain is longer in the afternoon than on the average of the day. */
function afternoonMm({ site, scenario }: PlantRun['plant'], { pitches }: TruthDay): number {
  const conveyor = site.conveyors[0];
  const climate = scenario.conveyors['line']?.climate;
  if (conveyor?.ambient === undefined || climate === undefined) return 0;
  const { chain, zones } = conveyor;
  const restMm = pitches * chain.pitchMm - zones.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
  return AFTERNOON_SHARE * climate.dayC * restMm * (chain.expansionPerC - chain.trackExpansionPerC);
}

/** Least squares over all that was logged so far, on until the stop. */
function naiveStrokeOutMs(run: PlantRun, { now, takeup }: Seen): number {
  const days = run.naive.filter((day) => day.takeup === takeup && day.dayNumber * DAY_MS <= now.timeMs);
  const line = leastSquares(
    days.map(({ dayNumber }) => dayNumber),
    days.map(({ meanMm }) => meanMm),
    0.9,
  );
  const strokeMm = run.plant.site.conveyors[0]?.takeups[takeup]?.strokeMm ?? NaN;
  const ms = ((strokeMm - line.intercept) / line.slope) * DAY_MS;
  return line.slope > 0 ? ms : Infinity;
}
