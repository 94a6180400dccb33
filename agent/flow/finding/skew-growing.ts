import type { Conveyor, SideName } from '../../site/site.js';
import { medianOf } from '../../units/quantile.js';
import { nominalLengthMm } from '../ledger/closure.js';
import type { Account } from '../ledger/account.js';
import type { TrendDay } from '../ledger/trend-day.js';
import type { FindingOutput } from '../output.js';
import { theilSen } from '../trend/theil-sen.js';
import { slowFinding } from './slow-findings.js';

/** Days over which growing skew is looked for, the growth that counts, and the fewest daily values. */
const SKEW_DAYS = 14;
const SKEW_GROWS_MM = 5;
const FEWEST = 7;
/** The wear before is taken from so many days. */
const BEFORE_DAYS = 42;
/** More than this share of it on one day is a step, not growth. */
const STEP_SHARE = 0.5;

/**
 * The two sides part more and more. The chain holds the middle of the carriage, so a side that drags draws in by half of the skew and
 * the other goes out by half: the mean goes on as the chain wears. A sensor that drifts moves the mean by half of the skew with it.
 */
export function skewGrowing(account: Account, index: number, days: readonly TrendDay[], timeMs: number): FindingOutput | undefined {
  const last = days.at(-1);
  if (last === undefined) return undefined;
  const age = ({ dayNumber }: TrendDay): number => last.dayNumber - dayNumber;
  const recent = days.filter((day) => age(day) < SKEW_DAYS);
  if (recent.length < FEWEST) return undefined;
  const skews = recent.map((day) => skewOf(account, index, day));
  const slope = theilSen(
    recent.map(({ dayNumber }) => dayNumber),
    skews,
    0.95,
  );
  if (slope === undefined || slope.low * slope.high <= 0) return undefined;
  const grown = medianOf(skews.slice(-2)) - medianOf(skews.slice(0, 3));
  const biggest = Math.max(...skews.slice(1).map((skew, i) => Math.abs(skew - (skews[i] ?? NaN))));
  if (Math.abs(grown) < SKEW_GROWS_MM || grown * slope.slope < 0 || biggest > STEP_SHARE * Math.abs(grown)) return undefined;
  const before = days.filter((day) => age(day) >= SKEW_DAYS && age(day) < SKEW_DAYS + BEFORE_DAYS);
  return told(account.conveyor, index, grown, sensorThatDrifts(account.conveyor, index, grown, recent, before), recent, timeMs);
}

/** Skew as the carriage has it: a sensor that was set anew shows another. */
function skewOf(account: Account, index: number, { skewMm, endMs }: TrendDay): number {
  const [left, right] = account.sidesAt(index, endMs);
  return skewMm - (left.shiftMm - right.shiftMm);
}

/** The side whose sensor carries the mean away from the wear before; undefined where the carriage itself is askew, or nothing tells. */
function sensorThatDrifts(
  conveyor: Conveyor,
  index: number,
  grown: number,
  recent: readonly TrendDay[],
  before: readonly TrendDay[],
): SideName | undefined {
  const [now, then] = [elongationSlope(recent), elongationSlope(before)];
  const { pitches, dayNumber } = recent.at(-1) as TrendDay;
  const gains = conveyor.takeups.reduce((sum, { gain }) => sum + gain, 0);
  const perElongation = nominalLengthMm(pitches, conveyor.chain) / (conveyor.takeups.length === 1 ? gains : NaN);
  const span = dayNumber - (recent[0] as TrendDay).dayNumber;
  const share = ((now - then) * span * perElongation) / grown;
  // Half for a drift, nothing for a carriage askew: a quarter lies between.
  if (!(Math.abs(share) > 0.25) || index >= conveyor.takeups.length) return undefined;
  return share > 0 ? 'left' : 'right';
}

/** Gain of ε a day as a ratio; NaN from too few days, or across a step. */
function elongationSlope(days: readonly TrendDay[]): number {
  const known = days.filter(({ flag, stretch }) => flag === 'value' && stretch === days.at(-1)?.stretch);
  if (known.length < FEWEST) return NaN;
  const line = theilSen(
    known.map(({ dayNumber }) => dayNumber),
    known.map(({ elongationPct }) => elongationPct / 100),
    0.95,
  );
  return line?.slope ?? NaN;
}

function told(
  conveyor: Conveyor,
  index: number,
  grown: number,
  sensor: SideName | undefined,
  recent: readonly TrendDay[],
  timeMs: number,
): FindingOutput {
  const at = { fromMs: recent[0]?.endMs ?? timeMs, toMs: recent.at(-1)?.endMs ?? timeMs, timeMs };
  const by = `${Math.abs(grown).toFixed(1)} mm`;
  if (sensor !== undefined) {
    const text = `The two sides have parted by ${by} in two weeks, and the middle of the carriage went with the ${sensor} one, which wear does not explain: the ${sensor} position sensor drifts.`;
    return slowFinding(conveyor, index, 'sensor-doubtful', at, text);
  }
  const side = grown > 0 ? 'left' : 'right';
  const text = `The ${side} side runs ahead by ${by} more than two weeks ago: uneven nuts, a bent rod or a dragging guide.`;
  return slowFinding(conveyor, index, 'skew-growing', at, text);
}
