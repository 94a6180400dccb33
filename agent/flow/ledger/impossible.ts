import type { ServiceEntry, WorkEntry } from '../../contract/service-entry.js';
import { applyCorrections } from '../../contract/service-entry-corrections.js';
import type { Conveyor, SideName, Spring, Takeup } from '../../site/site.js';

/** An entry that cannot be true, and in a sentence why. */
export interface ImpossibleEntry {
  readonly entry: WorkEntry;
  readonly message: string;
}

/**
 * Entries that contradict the chain or the springs as they were: more pitches than there are, a time before the reference, a spring
 * longer than free or shorter than solid.
 * @param entries - of any conveyors, in any order; corrections are applied first
 */
export function impossibleEntries(conveyor: Conveyor, entries: readonly ServiceEntry[]): ImpossibleEntry[] {
  const found: ImpossibleEntry[] = [];
  const springs = new Map<string, Spring>();
  let pitches = conveyor.chain.pitches;
  for (const entry of applyCorrections(entries).entries) {
    if (entry.conveyor !== conveyor.id) continue;
    const message = beforeReference(conveyor, entry) ?? wrongPitches(entry, pitches) ?? wrongSpring(conveyor, entry, springs);
    if (message !== undefined) {
      found.push({ entry, message });
      continue;
    }
    if (entry.kind === 'chain-removed') pitches -= entry.pitches;
    if (entry.kind === 'chain-inserted') pitches += entry.pitches;
    if (entry.kind === 'chain-replaced') pitches = entry.pitches;
    if (entry.kind === 'spring-replaced') springs.set(`${entry.takeup} ${entry.side}`, entry.spring);
  }
  return found;
}

/** Why an entry cannot be taken in beside those there are; undefined where it can. */
export function refusalOf(conveyor: Conveyor, entries: readonly ServiceEntry[], entry: ServiceEntry): string | undefined {
  const before = new Set(impossibleEntries(conveyor, entries).map(({ message }) => message));
  return impossibleEntries(conveyor, [...entries, entry]).find(({ message }) => !before.has(message))?.message;
}

/** Notes and inspections may be older than the account; what changes the chain or the springs may not. */
function beforeReference(conveyor: Conveyor, entry: WorkEntry): string | undefined {
  if (!/^(chain|nut|spring|sensor)-/.test(entry.kind)) return undefined;
  const concerned = conveyor.takeups.filter(({ id }) => entry.takeup === undefined || id === entry.takeup);
  const sinceMs = Math.min(...concerned.map(({ reference }) => reference.atMs));
  if (entry.timeMs >= sinceMs) return undefined;
  return `${entry.kind} at ${new Date(entry.timeMs).toISOString()} lies before the reference of ${conveyor.id}: what was done before it is in the reference already`;
}

function wrongPitches(entry: WorkEntry, pitches: number): string | undefined {
  if (entry.kind !== 'chain-removed' || entry.pitches < pitches) return undefined;
  return `${String(entry.pitches)} pitches cannot have been taken out of a chain of ${String(pitches)}: check the count`;
}

function wrongSpring(conveyor: Conveyor, entry: WorkEntry, springs: ReadonlyMap<string, Spring>): string | undefined {
  if (entry.kind !== 'nut-turned' && entry.kind !== 'spring-replaced') return undefined;
  const takeup = conveyor.takeups.find(({ id }) => id === entry.takeup);
  if (takeup === undefined) return undefined;
  if (entry.kind === 'nut-turned' && entry.springMm === undefined) {
    return takeup.nutLeadMm === undefined
      ? `turns can be reckoned only where nut_lead_mm of ${conveyor.id}/${takeup.id} is in the site file: give it there, or the spring length as measured`
      : undefined;
  }
  const spring = entry.kind === 'spring-replaced' ? entry.spring : springOf(takeup, entry.side, springs);
  return lengthFault(entry.springMm ?? NaN, spring);
}

function springOf(takeup: Takeup, side: SideName, springs: ReadonlyMap<string, Spring>): Spring {
  return springs.get(`${takeup.id} ${side}`) ?? takeup.spring;
}

function lengthFault(springMm: number, { freeMm, solidMm }: Spring): string | undefined {
  if (springMm > freeMm) return `a spring of ${String(springMm)} mm is longer than free (${String(freeMm)} mm): measure again`;
  if (springMm < solidMm) return `a spring of ${String(springMm)} mm is shorter than solid (${String(solidMm)} mm): measure again`;
  return undefined;
}
