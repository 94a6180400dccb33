import { readServiceEntry } from '../../../agent/contract/parse-service-entry.js';
import { applyCorrections } from '../../../agent/contract/service-entry-corrections.js';
import { type Correction, type ServiceEntry, serviceEntryToJson } from '../../../agent/contract/service-entry.js';
import type { LoggedEntry } from '../../../agent/store/history.js';
import type { EntryVersion } from './work-answers.js';

/**
 * How an entry read before each of its corrections and after the last, earliest first: what was once written down stays readable.
 *
 * @param entries - of the whole site, corrections among them
 * @returns versions by the entry's id; an entry that nobody corrected is not there
 */
export function entryVersions(entries: readonly LoggedEntry[]): ReadonlyMap<string, readonly EntryVersion[]> {
  const read = new Map(
    entries.flatMap(({ id, body }) => {
      const parsed = readServiceEntry({ ...body, id });
      return parsed.ok ? [[id, parsed.entry] as const] : [];
    }),
  );
  const corrections = [...read.values()].filter((entry): entry is Correction => entry.kind === 'correction');
  const versions = new Map<string, readonly EntryVersion[]>();
  for (const [id, entry] of read) {
    if (entry.kind === 'correction') continue;
    const own = correctionsOf(id, corrections);
    if (own.length > 0) versions.set(id, versionsOf(id, entry, own));
  }
  return versions;
}

function versionsOf(id: string, entry: ServiceEntry, corrections: readonly Correction[]): readonly EntryVersion[] {
  const first: EntryVersion = { entry: serviceEntryToJson(entry), writtenMs: entry.timeMs, ...byOf(entry) };
  return corrections.reduce<readonly EntryVersion[]>(
    (before, correction, index) => {
      const now = applyCorrections([entry, ...corrections.slice(0, index + 1)]).entries.find((one) => one.id === id);
      const last = before.at(-1) ?? first;
      const written = { writtenMs: correction.timeMs, ...byOf(correction) };
      return [
        ...before,
        now === undefined ? { entry: last.entry, withdrawn: true, ...written } : { entry: serviceEntryToJson(now), ...written },
      ];
    },
    [first],
  );
}

/** The corrections of an entry and the corrections of those, in the order in which they were written. */
function correctionsOf(id: string, all: readonly Correction[]): readonly Correction[] {
  const concerned = new Set([id]);
  for (let before = 0; before < concerned.size;) {
    before = concerned.size;
    for (const { id: own, replaces } of all) if (own !== undefined && concerned.has(replaces)) concerned.add(own);
  }
  return all.filter(({ replaces }) => concerned.has(replaces)).toSorted((a, b) => a.timeMs - b.timeMs);
}

function byOf({ by }: Pick<ServiceEntry, 'by'>): { readonly by?: string } {
  return by === undefined ? {} : { by };
}
