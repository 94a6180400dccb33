import type { Conveyor, Takeup } from '../site/site.js';
import { quantile } from '../units/quantile.js';
import { Breathing } from './breathing.js';
import type { Stand } from './chain-physics.js';
import type { CarriageState, ConveyorState, SideState } from './conveyor-state.js';
import { timesWorn, type Lasting } from './lasting.js';
import type { ConveyorScenario, ShiftScenario, WearScenario } from './scenario.js';
import { trueFigures } from './truth-days.js';
import type { TruthDay, TruthNow } from './truth.js';

const DAY_MS = 86_400_000;
/** What is further off than a hundred years is never. */
const HORIZON_DAYS = 36_525;
/** Points along the chain's way at which the to-and-fro is looked at, and how far apart, in loops: no wave comes round in step with them. */
const POINTS = 2000;
const APART = 0.618_033_988_749_895 / 50;

/** How a take-up really stands, and where it gets to with wear as it is, the shifts as planned, and nobody touching it. */
export function truthNow(
  conveyor: Conveyor,
  scenario: ConveyorScenario,
  seed: number,
  index: number,
  state: ConveyorState,
  stand: Stand,
  lasting: Lasting,
  lastDay: TruthDay | undefined,
): TruthNow {
  const takeup = conveyor.takeups[index] as Takeup;
  const { outerMm } = stand.carriages[index] as Stand['carriages'][number];
  const figures = trueFigures(index, state, stand);
  const loopMm = state.pitches * conveyor.chain.pitchMm;
  const breathingMm = breathingRange(new Breathing(scenario.breathing, seed, `${conveyor.id} ${takeup.id}`), loopMm);
  const perDay = wearPerDay(scenario, state, lasting);
  const travelMmPerDay = perDay * loopMm * travelShare(conveyor, index, state, loopMm);
  const usualMm = lastDay?.positionMm ?? figures.positionMm;
  const after = (left: number, rate: number): number | null => {
    const days = left / rate;
    return left > 0 && days < HORIZON_DAYS ? Math.round(state.timeMs + days * DAY_MS) : null;
  };
  return {
    conveyor: conveyor.id,
    takeup: takeup.id,
    timeMs: state.timeMs,
    running: state.running,
    positionMm: figures.positionMm,
    skewMm: figures.skewMm,
    breathingMm,
    elongationPct: figures.elongationPct,
    pitches: state.pitches,
    removedPitches: state.removedPitches,
    strandTensionN: figures.strandTensionN,
    springLeftMm: figures.springLeftMm,
    springRightMm: figures.springRightMm,
    elongationPctPerDay: 100 * perDay,
    travelMmPerDay,
    strokeOutMs: after(outerMm - breathingMm / 2 - usualMm, travelMmPerDay),
    wearLimitMs: after(conveyor.chain.wearLimitPct - figures.elongationPct, 100 * perDay),
  };
}

function breathingRange(breathing: Breathing, loopMm: number): number {
  const column = Float64Array.from({ length: POINTS }, (_, point) => breathing.at(point * APART * loopMm, loopMm));
  return quantile(column, POINTS, 0.95) - quantile(column, POINTS, 0.05);
}

/** Elongation gained in a day on the average of a week, as a ratio, run-in over. */
function wearPerDay({ wear, shifts, load }: ConveyorScenario, state: ConveyorState, lasting: Lasting): number {
  const dry = 1 + (wear.dryShare * state.dryHours) / 1000;
  const runs = runningShare(shifts);
  const hours = shifts.week.map((day) => (runs * day.reduce((sum, [from, to]) => sum + to - from, 0)) / 60);
  const felt = hours.reduce((sum, ran, weekday) => sum + ran * (1 + load.wearShare * (load.week[weekday] ?? 0)), 0);
  return (perHour(wear) * dry * timesWorn(lasting) * felt) / 7;
}

function perHour({ pctPer1000Hours }: WearScenario): number {
  return pctPer1000Hours / 100_000;
}

/** What short stops leave of a shift. Their lengths are spread evenly over orders of magnitude: the mean is (b − a)/ln(b/a). */
function runningShare({ stopsPerHour, shortestStopS, longestStopS }: ShiftScenario): number {
  const spread = Math.log(longestStopS / shortestStopS);
  const meanS = spread === 0 ? shortestStopS : (longestStopS - shortestStopS) / spread;
  return Math.max(0, 1 - (stopsPerHour * meanS) / 3600);
}

/** Carriage travel per mm of wear: (gᵢ/Kᵢ)/(n·p/EA + Σ g²/K) (mechanics §6). */
function travelShare(conveyor: Conveyor, index: number, { carriages }: ConveyorState, loopMm: number): number {
  const { stiffnessKn } = conveyor.chain;
  const rates = carriages.map(({ left, right }: CarriageState) => rateOf(left) + rateOf(right));
  const gives = conveyor.takeups.map(({ gain }, at) => gain / (rates[at] as number));
  const together = conveyor.takeups.reduce((sum, { gain }, at) => sum + gain * (gives[at] as number), 0);
  return (gives[index] as number) / ((stiffnessKn === undefined ? 0 : loopMm / (1000 * stiffnessKn)) + together);
}

function rateOf({ spring, shareLeft }: SideState): number {
  return spring.perSide * spring.rateNPerMm * shareLeft;
}
