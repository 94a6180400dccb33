import type { ServiceEntry, WorkEntry } from '../../contract/service-entry.js';
import { applyCorrections } from '../../contract/service-entry-corrections.js';

/**
 * What was done, by the entries known so far: corrected, without what was struck out and without the corrections themselves,
 * in order of time. The order in which the entries are given does not matter.
 *
 * A correction that does not apply is left aside here: whoever takes entries in (a file of them, a request) refuses it there,
 * with the sentence that `applyCorrections` gives. So the entries of one conveyor may be handed in without the others'.
 */
export function effectiveEntries(entries: readonly ServiceEntry[]): WorkEntry[] {
  return [...applyCorrections(entries).entries];
}
