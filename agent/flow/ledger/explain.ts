import type { Conveyor } from '../../site/site.js';
import type { WorkEntry } from '../../contract/service-entry.js';
import { carriagePerChainMm } from '../takeup/travel.js';
import { pitchesOfMove } from './closure.js';
import { explainsStep } from './placed-entry.js';
import type { Step } from './window-record.js';

/** An entry within a day either side of a step explains it (contracts §2). */
const EXPLAINS_WITHIN_MS = 24 * 3600_000;

/** Half a pitch lies as near to one count as to the next; nuts turned in the same stop move the carriage by less. */
const AGREES_PITCHES = 0.5;

export interface NamedEntry {
  readonly id: string;
  readonly entry: WorkEntry;
}

/** How far an entry's time lies outside the stretch in which a step happened; 0 within it. */
function distanceMs(step: Step, timeMs: number): number {
  return Math.max(0, step.fromMs - timeMs, timeMs - step.toMs);
}

function concerns(conveyor: Conveyor, step: Step, { entry }: NamedEntry): boolean {
  const takeup = conveyor.takeups[step.takeup]?.id;
  return explainsStep(entry) && (entry.takeup === undefined || entry.takeup === takeup || entry.kind.startsWith('chain-'));
}

/** By how many pitches an entry and the carriage disagree; undefined where the entry says nothing of pitches. */
function pitchesApart(conveyor: Conveyor, step: Step, entry: WorkEntry, elongation: number): number | undefined {
  if (entry.kind !== 'chain-removed' && entry.kind !== 'chain-inserted') return undefined;
  const seen = pitchesOfMove(step.moveMm, conveyor.chain, elongation, carriagePerChainMm(conveyor, step.takeup));
  return Math.abs(seen - (entry.kind === 'chain-removed' ? entry.pitches : -entry.pitches));
}

/**
 * Which step each entry belongs to. Pairs are taken best first: those whose pitches agree before those that say nothing of pitches
 * before those that disagree, and the nearer in time first. An entry left over that lies within a day of a step already explained was
 * part of the same job.
 * @returns step by the entry's id
 */
export function explainSteps(
  conveyor: Conveyor,
  steps: readonly Step[],
  entries: readonly NamedEntry[],
  elongation: number,
): ReadonlyMap<string, Step> {
  const pairs = steps.flatMap((step) =>
    entries
      .filter((named) => concerns(conveyor, step, named) && distanceMs(step, named.entry.timeMs) <= EXPLAINS_WITHIN_MS)
      .map((named) => {
        const apart = pitchesApart(conveyor, step, named.entry, elongation);
        const rank = apart === undefined ? 1 : apart <= 0.25 || conveyor.takeups.length > 1 ? 0 : 2;
        return { step, named, rank, distance: distanceMs(step, named.entry.timeMs) };
      }),
  );
  pairs.sort((a, b) => a.rank - b.rank || a.distance - b.distance || a.step.toMs - b.step.toMs);
  const stepOf = new Map<string, Step>();
  const taken = new Set<string>();
  for (const { step, named } of pairs) {
    if (stepOf.has(named.id) || taken.has(step.id)) continue;
    stepOf.set(named.id, step);
    taken.add(step.id);
  }
  pairs.sort((a, b) => a.distance - b.distance);
  for (const { step, named } of pairs) if (!stepOf.has(named.id) && taken.has(step.id)) stepOf.set(named.id, step);
  return stepOf;
}

/** The steps that no entry explains. One removal moves every take-up on the chain, so it explains the steps of all of them. */
export function unexplainedSteps(steps: readonly Step[], entries: readonly NamedEntry[], stepOf: ReadonlyMap<string, Step>): Step[] {
  const explained = new Set([...stepOf.values()].map((step) => step.id));
  const chainWork = entries.filter(({ id, entry }) => entry.kind.startsWith('chain-') && stepOf.has(id));
  const byChainWork = (step: Step): boolean =>
    chainWork.some(({ id, entry }) => stepOf.get(id)?.takeup !== step.takeup && distanceMs(step, entry.timeMs) <= EXPLAINS_WITHIN_MS);
  return steps.filter((step) => !explained.has(step.id) && !byChainWork(step));
}

/**
 * Steps whose entries say another count of pitches than the carriage: they are explained, but what they say is not so. Told on one
 * take-up only, since several share a removal.
 */
export function contradictedSteps(
  conveyor: Conveyor,
  steps: readonly Step[],
  entries: readonly NamedEntry[],
  stepOf: ReadonlyMap<string, Step>,
  elongation: number,
): Step[] {
  if (conveyor.takeups.length > 1) return [];
  return steps.filter((step) => {
    const counts = entries
      .filter(({ id }) => stepOf.get(id)?.id === step.id)
      .flatMap(({ entry }) => (entry.kind === 'chain-removed' ? [entry.pitches] : entry.kind === 'chain-inserted' ? [-entry.pitches] : []));
    if (counts.length === 0) return false;
    const seen = pitchesOfMove(step.moveMm, conveyor.chain, elongation, carriagePerChainMm(conveyor, step.takeup));
    return Math.abs(seen - counts.reduce((sum, count) => sum + count, 0)) > AGREES_PITCHES;
  });
}
