import type { FindingOutput } from '../../../agent/flow/output.js';
import { type PitchesSeen, pitchesOfChain, pitchesSeen } from '../../../agent/plan/pitches-seen.js';
import { pitchesText } from '../../../agent/plan/removal-words.js';
import type { Conveyor, Site } from '../../../agent/site/site.js';
import type { EntryAnswer, EntryCheck } from './work-answers.js';

/** As in the account: an entry within a day of a step says what it was (contracts §2). */
const EXPLAINS_WITHIN_MS = 24 * 3_600_000;
/** Findings of a lasting step. */
const STEPS: ReadonlySet<string> = new Set(['chain-removed', 'chain-inserted', 'step-unexplained', 'nut-turned']);

/**
 * Holds every entry about chain taken out against what the carriage did about then, whoever wrote it and with whatever card.
 *
 * @param findings - of the whole site
 */
export function withChecks(
  log: readonly EntryAnswer[],
  findings: readonly FindingOutput[],
  site: Pick<Site, 'conveyors'>,
  nowMs: number,
): readonly EntryAnswer[] {
  const steps = findings.filter(({ finding, state, moveMm }) => STEPS.has(finding) && state !== 'rejected' && moveMm !== null);
  const removals = log.filter(({ entry, state }) => entry['kind'] === 'chain-removed' && state !== 'withdrawn');
  return log.map((one) => {
    const conveyor = site.conveyors.find(({ id }) => id === one.conveyor);
    if (conveyor === undefined || !removals.includes(one)) return one;
    return { ...one, check: checkOf(one, removals, steps, conveyor, nowMs) };
  });
}

function checkOf(
  entry: EntryAnswer,
  removals: readonly EntryAnswer[],
  steps: readonly FindingOutput[],
  conveyor: Conveyor,
  nowMs: number,
): EntryCheck {
  const step = nearest(entry, steps, conveyor.id);
  if (step === undefined) {
    if (nowMs - entry.timeMs < EXPLAINS_WITHIN_MS) return { verdict: 'not-yet', sentence: 'Not yet: it must run an hour first.' };
    return { verdict: 'cannot-say', sentence: 'Cannot say: no lasting move of the carriage was seen within a day of it.' };
  }
  // Two entries about one stop are one job.
  const together = removals.filter((one) => one.conveyor === entry.conveyor && nearest(one, steps, conveyor.id)?.id === step.id);
  const recorded = together.reduce((sum, one) => sum + pitchesOf(one), 0);
  const { whole, exact } = seenOf(step, steps, conveyor);
  if (whole === undefined)
    return {
      verdict: 'cannot-say',
      sentence: `Cannot say: the carriage says ${exact.toFixed(1)} pitches, which is no whole number of repeats.`,
    };
  if (whole === recorded) return { verdict: 'agrees', sentence: `The carriage says the same: ${pitchesText(recorded)} out.` };
  const says = whole < 0 ? `${pitchesText(-whole)} in` : String(whole);
  return { verdict: 'count-differs', sentence: `${pitchesText(recorded)} were written down, the carriage says ${says}: check the count.` };
}

/**
 * Pitches that a step stands for. Where take-ups share the chain, one may have come in for all of it, or each for a part, by how the nuts
 * were turned: the chain that all of them let go within the same stop is what came out, Σ g·Δx (mechanics §2).
 */
function seenOf(step: FindingOutput, steps: readonly FindingOutput[], conveyor: Conveyor): PitchesSeen {
  const elongation = conveyor.chain.wearAtReferencePct / 100;
  if (conveyor.takeups.length === 1) return pitchesSeen(conveyor, step.takeup, step.moveMm ?? NaN, elongation);
  const sameStop = conveyor.takeups.map(({ id, gain }) => {
    const own = steps.filter(({ conveyor: of, takeup, fromMs, toMs }) => {
      return of === conveyor.id && takeup === id && fromMs <= step.toMs && toMs >= step.fromMs;
    });
    return gain * own.reduce((sum, { moveMm }) => sum + (moveMm ?? 0), 0);
  });
  return pitchesOfChain(conveyor.chain, -sameStop.reduce((sum, chainMm) => sum + chainMm, 0), elongation);
}

/** The step that an entry lies nearest to, within a day. */
function nearest(entry: EntryAnswer, steps: readonly FindingOutput[], conveyor: string): FindingOutput | undefined {
  return steps
    .filter((step) => step.conveyor === conveyor && (entry.takeup ?? step.takeup) === step.takeup)
    .map((step) => ({ step, distance: Math.max(0, step.fromMs - entry.timeMs, entry.timeMs - step.toMs) }))
    .filter(({ distance }) => distance <= EXPLAINS_WITHIN_MS)
    .toSorted((a, b) => a.distance - b.distance)[0]?.step;
}

function pitchesOf({ entry }: EntryAnswer): number {
  return typeof entry['pitches'] === 'number' ? entry['pitches'] : 0;
}
