import type { TruthDay, TruthNow } from '../../agent/simulate/truth.js';
import { leastSquares } from '../flow/trend/least-squares.js';
import { DAY_MS } from './line-site.js';
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
/** Nearer than this the whole days in which a date is told are a tenth of it and more. */
const LEAST_LEFT_DAYS = 20;

/** The stroke-out dates that were told while nothing but steady wear was going on. */
export function dateErrors(run: PlantRun): DateError[] {
  return run.seen.filter((seen) => asked(run, seen)).flatMap((seen) => dateError(run, seen) ?? []);
}

function asked({ truth }: PlantRun, { day, now }: Seen): boolean {
  const changed = truth.steps.filter(({ kind, timeMs }) => kind === 'chain-replaced' && timeMs <= now.timeMs).at(-1)?.timeMs ?? -Infinity;
  // A trouble with chain or sensor makes another wear, or hides it; a forecast knows of it once it has lasted.
  const troubled = truth.faults.some(({ kind, fromMs }) => kind !== 'gap' && fromMs <= now.timeMs);
  const work = truth.steps.filter(({ timeMs }) => timeMs <= now.timeMs).at(-1);
  const ranSince = truth.days.some(
    ({ date, runHours }) => Date.parse(date) > (work?.timeMs ?? -Infinity) && Date.parse(date) + DAY_MS <= now.timeMs && runHours > 4,
  );
  const told = truth.steps.every(({ recorded, timeMs }) => recorded === 'rightly' || timeMs > now.timeMs);
  return day >= SEEN_DAYS && now.timeMs - changed >= SEEN_DAYS * DAY_MS && !troubled && ranSince && told;
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
 * what the warmest day so far was longer than the last.
 */
function strokeOutMs({ truth, plant }: PlantRun, now: TruthNow): number | undefined {
  const gain = plant.site.conveyors[0]?.takeups.find(({ id }) => id === now.takeup)?.gain ?? NaN;
  const days = truth.days.filter(({ takeup, date }) => takeup === now.takeup && Date.parse(date) <= now.timeMs);
  const last = days.at(-1);
  if (now.strokeOutMs === null || last === undefined || !(now.travelMmPerDay > 0)) return undefined;
  const seenHeat = plant.site.conveyors[0]?.zones.length !== 0 || plant.site.conveyors[0]?.ambient !== undefined;
  const warmest = Math.max(...days.map(({ thermalMm }: TruthDay) => thermalMm));
  const heatMm = seenHeat ? Math.max(0, (warmest - last.thermalMm) / gain) : 0;
  return now.strokeOutMs - (heatMm / now.travelMmPerDay) * DAY_MS;
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
