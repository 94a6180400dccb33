import type { Site } from '../site/site.js';
import { placeEntry, readServiceEntry } from './parse-service-entry.js';
import { serviceEntryToJson, type Correction, type ServiceEntry, type WorkEntry } from './service-entry.js';

/** An entry that was set aside, and in a sentence why. */
export interface RefusedEntry {
  readonly entry: ServiceEntry;
  readonly message: string;
}

export interface CorrectedEntries {
  /** The work entries as corrected, without those struck out, in order of time. */
  readonly entries: readonly WorkEntry[];
  /** Corrections that were not applied, and entries under an id that another has; in order of time. */
  readonly refused: readonly RefusedEntry[];
}

/** Fields that say the same in two ways: giving one displaces the other. */
const DISPLACES: Readonly<Record<string, string>> = { turns: 'spring_mm', spring_mm: 'turns' };

type Json = Readonly<Record<string, unknown>>;

/**
 * Applies corrections (contracts §2): the fields of a correction overwrite those of the entry that it replaces, in order of
 * the corrections' own times, so a later one wins; also over a strike-out, which it takes back. A correction may be
 * corrected in turn: its changes are overwritten (`at` among them) or, by `withdraw`, undone.
 *
 * The order in which the entries are given does not matter, and the same entry given twice counts once. A correction that
 * names no entry, or that would leave one invalid, is set aside and the entry stays as it was.
 *
 * @param site - where given, corrected entries are checked against it
 */
export function applyCorrections(entries: readonly ServiceEntry[], site?: Site): CorrectedEntries {
  const corrector = new Corrector(withoutRepeats(entries).sort(compareEntries), site);
  const corrected = corrector.correctAll();
  return { entries: corrected.sort(compareEntries), refused: corrector.refused() };
}

class Corrector {
  readonly #entries: readonly ServiceEntry[];
  readonly #corrections: readonly Correction[];
  readonly #site: Site | undefined;
  readonly #used = new Set<Correction>();
  readonly #refused: RefusedEntry[] = [];

  /** @param entries - in order, without repeats */
  constructor(entries: readonly ServiceEntry[], site: Site | undefined) {
    this.#entries = entries;
    this.#corrections = entries.filter((entry) => entry.kind === 'correction');
    this.#site = site;
  }

  correctAll(): WorkEntry[] {
    return this.#entries.flatMap((entry) => (entry.kind === 'correction' ? [] : this.#correct(entry)));
  }

  refused(): readonly RefusedEntry[] {
    const idle = this.#corrections
      .filter((correction) => !this.#used.has(correction))
      .map((entry) => ({ entry, message: this.#whyIdle(entry) }));
    const ids = new Set<string>();
    const doubled = this.#entries
      .filter(({ id }) => id !== undefined && (ids.has(id) || !ids.add(id)))
      .map((entry) => ({ entry, message: `the id "${entry.id ?? ''}" is taken by another entry; give it one of its own` }));
    return [...this.#refused, ...idle, ...doubled].sort((a, b) => compareEntries(a.entry, b.entry));
  }

  /** The entry as corrected; none where it is struck out. */
  #correct(entry: WorkEntry): readonly WorkEntry[] {
    let current = entry;
    let withdrawn = false;
    for (const { correction, changes } of this.#changesOf(entry.id)) {
      withdrawn = changes['withdraw'] === true;
      if (withdrawn) continue;
      const changed = this.#changed(current, changes);
      if (typeof changed === 'string') this.#refused.push({ entry: correction, message: changed });
      else current = changed;
    }
    return withdrawn ? [] : [current];
  }

  /** What the corrections of `id` change, each as corrected itself, in order of time. */
  *#changesOf(id: string | undefined): Generator<{ readonly correction: Correction; readonly changes: Json }> {
    if (id === undefined) return;
    for (const correction of this.#corrections) {
      if (correction.replaces !== id || this.#used.has(correction)) continue;
      this.#used.add(correction);
      let changes: Json = correction.changes;
      let undone = false;
      for (const { changes: later } of this.#changesOf(correction.id)) {
        undone = later['withdraw'] === true;
        if (!undone) changes = overwrite({ ...changes, withdraw: false }, later);
      }
      if (!undone) yield { correction, changes };
    }
  }

  /** The entry with `changes` in it, or in a sentence why that is no entry. */
  #changed(entry: WorkEntry, changes: Json): WorkEntry | string {
    const named = Object.entries(changes)
      .filter(([key]) => key !== 'withdraw')
      .map(([key, value]) => [key === 'at' ? 'time' : key, value] as const);
    const json = overwrite(serviceEntryToJson(entry), Object.fromEntries(named));
    const read = readServiceEntry(json);
    const placed = read.ok && this.#site !== undefined ? placeEntry(read.entry, this.#site) : read;
    if (!placed.ok) return `the corrected entry would not be valid: ${placed.message}`;
    // A correction cannot change the kind, so what comes back is work as it was.
    return placed.entry.kind === 'correction' ? entry : placed.entry;
  }

  #whyIdle({ replaces }: Correction): string {
    if (!this.#entries.some(({ id }) => id === replaces)) return `it replaces "${replaces}", and no entry has that id`;
    return `it replaces "${replaces}", which in the end replaces it; one of them must name the entry that is meant`;
  }
}

/** Null takes a field away. */
function overwrite(fields: Json, changes: Json): Json {
  const result = new Map(Object.entries(fields));
  for (const [key, value] of Object.entries(changes)) {
    const displaced = DISPLACES[key];
    if (displaced !== undefined && !(displaced in changes)) result.delete(displaced);
    result.set(key, value);
  }
  return Object.fromEntries(result);
}

/** An entry under its id may be delivered more than once; without an id, two alike may be two pieces of work. */
function withoutRepeats(entries: readonly ServiceEntry[]): ServiceEntry[] {
  const seen = new Set<string>();
  return entries.filter((entry) => {
    if (entry.id === undefined) return true;
    const text = textOf(entry);
    return !seen.has(text) && seen.add(text);
  });
}

/** By time; at one time a service is opened before the work in it and closed after; then by what they say, so that their order in a file does not matter. */
function compareEntries(a: ServiceEntry, b: ServiceEntry): number {
  return a.timeMs - b.timeMs || rank(a) - rank(b) || compareTexts(textOf(a), textOf(b));
}

function rank({ kind }: ServiceEntry): number {
  return kind === 'service-opened' ? 0 : kind === 'service-closed' ? 2 : 1;
}

function textOf(entry: ServiceEntry): string {
  return JSON.stringify(serviceEntryToJson(entry));
}

function compareTexts(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
