import { readServiceEntry } from '../../../agent/contract/parse-service-entry.js';
import { applyCorrections } from '../../../agent/contract/service-entry-corrections.js';
import { serviceEntryToJson } from '../../../agent/contract/service-entry.js';
import type { FindingOutput } from '../../../agent/flow/output.js';
import type { LoggedEntry } from '../../../agent/store/history.js';
import { entryVersions } from './entry-versions.js';
import type { EntryAnswer, FindingAnswer } from './work-answers.js';

/**
 * The service log as people read it, latest work first: every entry as its corrections left it, those struck out shown as such, and
 * the corrections themselves nowhere but in what they changed and how it read before.
 *
 * @param entries - of the whole site: a correction need not say whose entry it corrects
 */
export function serviceLog(entries: readonly LoggedEntry[]): readonly EntryAnswer[] {
  const read = entries.flatMap(({ id, body }) => {
    const parsed = readServiceEntry({ ...body, id });
    return parsed.ok ? [parsed.entry] : [];
  });
  const corrected = new Map(applyCorrections(read).entries.map((entry) => [entry.id, entry]));
  const changes = lastChanges(entries);
  const versions = entryVersions(entries);
  return entries
    .filter(({ kind }) => kind !== 'correction')
    .map((logged): EntryAnswer => {
      const now = corrected.get(logged.id);
      const entry = now === undefined ? logged.body : serviceEntryToJson(now);
      const withdrawn = now === undefined && changes.has(logged.id);
      const changed = withdrawn || JSON.stringify(withoutId(entry)) !== JSON.stringify(withoutId(normal(logged)));
      const changedBy = changed ? changes.get(logged.id) : undefined;
      return {
        id: logged.id,
        timeMs: now?.timeMs ?? logged.timeMs,
        takenMs: logged.takenMs,
        conveyor: now?.conveyor ?? logged.conveyor,
        ...given('takeup', now === undefined ? logged.takeup : now.takeup),
        ...given('by', textOf(logged.body['by'])),
        entry,
        ...(changed ? { state: withdrawn ? ('withdrawn' as const) : ('corrected' as const) } : {}),
        ...given('changedBy', changedBy),
        ...given('versions', versions.get(logged.id)),
      };
    })
    .toSorted((a, b) => b.timeMs - a.timeMs || b.takenMs - a.takenMs);
}

/** What of a log concerns a take-up: its own entries and those for its whole conveyor. */
export function logOfTakeup(log: readonly EntryAnswer[], conveyor: string, takeup: string): readonly EntryAnswer[] {
  return log.filter((entry) => entry.conveyor === conveyor && (entry.takeup ?? takeup) === takeup);
}

/**
 * The name of the entry that confirms a finding: the same whoever confirms it, so that the agent takes it once. After one that was
 * struck out the next has a name of its own.
 */
export function confirmingId(finding: string, log: readonly EntryAnswer[]): string {
  const struckOut = confirming(finding, log).filter(({ state }) => state === 'withdrawn').length;
  return `confirmed-${finding}-${String(struckOut + 1)}`;
}

/** The entry by which somebody confirmed a finding; undefined where nobody has, or it was struck out. */
export function confirmationOf(finding: string, log: readonly EntryAnswer[]): EntryAnswer | undefined {
  return confirming(finding, log).find(({ state }) => state !== 'withdrawn');
}

/** Findings, each with what became of it. */
export function findingsOf(findings: readonly FindingOutput[], log: readonly EntryAnswer[]): readonly FindingAnswer[] {
  return findings.map((finding) => {
    const confirmation = confirmationOf(finding.id, log);
    if (confirmation === undefined || finding.state === 'rejected') return { ...finding, state: finding.state ?? 'open' };
    return { ...finding, state: 'explained', ...given('by', confirmation.by) };
  });
}

/** Something that goes on by itself is told anew while it does: what was told so long ago is over. */
const GOES_ON_MS = 30 * 86_400_000;
/** Moves that stay: only a person can say what they were. */
const STEPS: ReadonlySet<string> = new Set<FindingOutput['finding']>([
  ...(['chain-removed', 'chain-inserted', 'step-unexplained', 'nut-turned', 'chain-caught', 'chain-slack'] as const),
]);

/** Findings that wait for a person: every move that nothing accounts for, and of what goes on by itself the latest. */
export function openFindings(findings: readonly FindingAnswer[], nowMs: number): readonly FindingAnswer[] {
  return findings.filter(({ finding, state, toMs }) => state === 'open' && (STEPS.has(finding) || toMs > nowMs - GOES_ON_MS));
}

function confirming(finding: string, log: readonly EntryAnswer[]): readonly EntryAnswer[] {
  return log.filter(({ id }) => id.startsWith(`confirmed-${finding}-`) && /^\d+$/.test(id.slice(`confirmed-${finding}-`.length)));
}

/** Who changed each entry last, by the entry's id; undefined where the correction does not say. */
function lastChanges(entries: readonly LoggedEntry[]): ReadonlyMap<string, string | undefined> {
  const corrections = entries.filter(({ kind }) => kind === 'correction').toSorted((a, b) => a.timeMs - b.timeMs);
  return new Map(corrections.map(({ body }) => [textOf(body['replaces']) ?? '', textOf(body['by'])]));
}

/** An entry in the order of keys in which corrected ones are written. */
function normal({ body }: LoggedEntry): Readonly<Record<string, unknown>> {
  const parsed = readServiceEntry(body);
  return parsed.ok ? serviceEntryToJson(parsed.entry) : body;
}

function withoutId(entry: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  return { ...entry, id: undefined };
}

function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

function given<Key extends string, Value>(key: Key, value: Value | undefined): Partial<Record<Key, Value>> {
  return value === undefined ? {} : ({ [key]: value } as Record<Key, Value>);
}
