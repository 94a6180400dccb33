import type { Conveyor, SideName } from '../../site/site.js';
import { medianOf } from '../../units/quantile.js';
import type { Ledger } from '../ledger/ledger.js';
import type { WindowRecord } from '../ledger/window-record.js';
import type { FindingKey, FindingOutput } from '../output.js';
import { carriagePerChainMm } from '../takeup/travel.js';
import type { WearCompared } from '../trend/wear-fast.js';
import type { Doubt } from './doubt-watch.js';

/** A finding that comes from weeks, days or windows rather than from one move. */
export function slowFinding(
  conveyor: Conveyor,
  index: number,
  key: FindingKey,
  at: { readonly fromMs: number; readonly toMs: number; readonly timeMs: number },
  text: string,
): FindingOutput {
  const takeup = conveyor.takeups[index]?.id ?? '';
  const id = `${conveyor.id}-${takeup}-${key}-${String(Math.round(at.fromMs))}`;
  return { kind: 'finding', id, ...at, conveyor: conveyor.id, takeup, finding: key, moveMm: null, text };
}

/** The carriage hardly breathes any more. */
export function stuckFinding(conveyor: Conveyor, index: number, record: WindowRecord, share: number): FindingOutput {
  const percent = (100 * share).toFixed(0);
  return slowFinding(
    conveyor,
    index,
    'carriage-stuck',
    { fromMs: record.fromMs, toMs: record.toMs, timeMs: record.toMs },
    `The conveyor has run for a day with the carriage moving ${percent} % of its usual to-and-fro, sensor noise taken off: seized guides, or restraint nuts left run in.`,
  );
}

/** So much travel must heat have asked for before its absence says anything. */
const HEAT_ASKS_MM = 5;
const HEAT_GIVES_SHARE = 0.2;

/** Heat lengthened the chain over a day, and the carriage did not follow. */
export function stuckByHeat(ledger: Ledger, index: number, records: readonly WindowRecord[], timeMs: number): FindingOutput | undefined {
  const share = carriagePerChainMm(ledger.conveyor, index);
  const asked = records.map((record) => ledger.figures(index, record).thermalMm * share).filter((mm) => !Number.isNaN(mm));
  if (asked.length < 12) return undefined;
  const askedMm = Math.max(...asked) - Math.min(...asked);
  const means = records.map(({ mean }) => mean);
  const givenMm = Math.max(...means) - Math.min(...means);
  const breathing = medianOf(records.map((record) => record.breathing));
  if (askedMm < Math.max(HEAT_ASKS_MM, 3 * breathing) || givenMm > HEAT_GIVES_SHARE * askedMm) return undefined;
  const [first, last] = [records[0] as WindowRecord, records[records.length - 1] as WindowRecord];
  return slowFinding(
    ledger.conveyor,
    index,
    'carriage-stuck',
    { fromMs: first.fromMs, toMs: last.toMs, timeMs },
    `Heat asked for ${askedMm.toFixed(1)} mm of travel in a day and the carriage moved ${givenMm.toFixed(1)} mm: seized guides, or restraint nuts left run in.`,
  );
}

/** One sensor is doubted. */
export function doubtFinding(conveyor: Conveyor, index: number, side: SideName, doubt: Doubt): FindingOutput {
  const text =
    doubt.why === 'flat'
      ? `The ${side} position has read the same to the last digit for an hour of running while the other side moved.`
      : `The ${side} position is noisier than five times its own normal (${doubt.value.toFixed(2)} mm about its median).`;
  return slowFinding(conveyor, index, 'sensor-doubtful', { fromMs: doubt.sinceMs, toMs: doubt.atMs, timeMs: doubt.atMs }, text);
}

/** Wear over the last weeks is well above that of the months before. @param lastMs - the end of the last day of them */
export function wearFinding(conveyor: Conveyor, index: number, lastMs: number, wear: WearCompared, timeMs: number): FindingOutput {
  const times = (wear.last.value / wear.before.value).toFixed(1);
  return slowFinding(
    conveyor,
    index,
    'wear-fast',
    { fromMs: lastMs - 28 * 86_400_000, toMs: lastMs, timeMs },
    `Over the last 28 days the chain wore ${times} times as fast as over the 90 days before: look at lubrication, load, dirt and heat.`,
  );
}
