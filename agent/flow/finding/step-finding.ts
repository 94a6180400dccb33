import type { Conveyor } from '../../site/site.js';
import { formatTime } from '../../units/time.js';
import type { WorkEntry } from '../../contract/service-entry.js';
import { pitchesOfMove } from '../ledger/closure.js';
import type { Step } from '../ledger/window-record.js';
import { carriagePerChainMm } from '../takeup/travel.js';
import type { FindingKey, FindingOutput } from '../output.js';

/** Within a quarter of a pitch of a whole number, that number is believed (mechanics §7). */
const QUARTER_PITCH = 0.25;

/** The whole number of pitches, a multiple of the repeat, that a move stands for: positive for chain taken out; 0 where it is none. */
export function wholePitches(conveyor: Conveyor, takeupIndex: number, moveMm: number, elongation: number): number {
  const { chain } = conveyor;
  const seen = pitchesOfMove(moveMm, chain, elongation, carriagePerChainMm(conveyor, takeupIndex));
  const nearest = Math.round(seen / chain.repeatPitches) * chain.repeatPitches;
  return Math.abs(seen - nearest) <= QUARTER_PITCH ? nearest : 0;
}

/**
 * What a lasting step of the carriage says.
 * @param pitches - whole pitches the step stands for, positive for chain taken out; 0 where it is none
 * @param explained - the entries that explain it already
 */
export function stepFinding(
  conveyor: Conveyor,
  step: Step,
  pitches: number,
  explained: readonly WorkEntry[],
  knownMs: number,
): FindingOutput {
  const takeup = conveyor.takeups[step.takeup]?.id ?? '';
  const finding = keyOf(step, pitches, explained);
  const text = `${seen(step)}${reading(finding, pitches)} ${accounted(pitches, explained, conveyor.takeups.length)}`;
  const suggestion = suggestionOf(conveyor.id, step, pitches, explained);
  return {
    kind: 'finding',
    id: step.id,
    timeMs: knownMs,
    fromMs: step.fromMs,
    toMs: step.toMs,
    conveyor: conveyor.id,
    takeup,
    finding,
    moveMm: step.moveMm,
    ...(suggestion === undefined ? {} : { suggestion }),
    text,
  };
}

/**
 * A sudden move while running says at once what a settled window would say later, if one came: after a chain has parted the drive
 * trips and none does.
 * @param fromMs - end of the last settled window before
 * @param atMs - when it had lasted a minute
 */
export function jumpFinding(conveyor: Conveyor, index: number, id: string, moveMm: number, fromMs: number, atMs: number): FindingOutput {
  const step: Step = { id, takeup: index, fromMs, toMs: atMs, moveMm, whileRunning: true };
  return stepFinding(conveyor, step, 0, [], atMs);
}

function keyOf(step: Step, pitches: number, explained: readonly WorkEntry[]): FindingKey {
  if (step.whileRunning && explained.length === 0) return step.moveMm < 0 ? 'chain-caught' : 'chain-slack';
  if (pitches > 0) return 'chain-removed';
  if (pitches < 0) return 'chain-inserted';
  if (explained.some(({ kind }) => kind === 'nut-turned')) return 'nut-turned';
  return 'step-unexplained';
}

function seen(step: Step): string {
  const way = step.moveMm < 0 ? 'inwards' : 'outwards';
  const when = step.whileRunning ? 'while the conveyor was running' : 'over a stop';
  return `The carriage moved ${Math.abs(step.moveMm).toFixed(1)} mm ${way} ${when}, and stayed there, heat taken off.`;
}

function reading(finding: FindingKey, pitches: number): string {
  const count = `${String(Math.abs(pitches))} pitches`;
  switch (finding) {
    case 'chain-removed':
      return ` That is what taking out ${count} does.`;
    case 'chain-inserted':
      return ` That is what putting in ${count} does.`;
    case 'chain-caught':
      return ' Something holds the chain, or the load on it grew.';
    case 'chain-slack':
      return ' The chain gave way: slack, a broken link, or a parted chain.';
    default:
      return ' It is no whole number of repeats.';
  }
}

function accounted(pitches: number, explained: readonly WorkEntry[], takeups: number): string {
  if (explained.length === 0) return 'No service entry within a day of it says why.';
  const counts = explained.flatMap((entry) =>
    entry.kind === 'chain-removed' ? [entry.pitches] : entry.kind === 'chain-inserted' ? [-entry.pitches] : [],
  );
  if (counts.length === 0 || takeups > 1)
    return `It is accounted for: ${explained.map(({ kind }) => kind.replaceAll('-', ' ')).join(', ')}.`;
  if (counts.reduce((sum, count) => sum + count, 0) === pitches) return 'It is accounted for.';
  const carriage = pitches === 0 ? 'something else' : inWords(pitches);
  if (counts.length === 1) return `The entry says ${inWords(counts[0] ?? 0)}, the carriage ${carriage}: check the count.`;
  return `The entries say ${counts.map(inWords).join(' and ')}, the carriage ${carriage}: they contradict one another, withdraw or correct the wrong one.`;
}

function inWords(pitches: number): string {
  return `${String(Math.abs(pitches))} pitches ${pitches < 0 ? 'in' : 'out'}`;
}

function suggestionOf(conveyor: string, step: Step, pitches: number, explained: readonly WorkEntry[]): Record<string, unknown> | undefined {
  if (explained.length > 0 || pitches === 0 || step.whileRunning) return undefined;
  return {
    time: formatTime(step.toMs),
    conveyor,
    kind: pitches > 0 ? 'chain-removed' : 'chain-inserted',
    pitches: Math.abs(pitches),
  };
}
