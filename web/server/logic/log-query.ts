import type { EntryAnswer } from './work-answers.js';

/** Which entries of the service log are asked for; what is left out does not narrow. */
export interface LogQuery {
  readonly conveyor?: string | undefined;
  readonly takeup?: string | undefined;
  /** Kinds, with commas between. */
  readonly kinds?: string | undefined;
  /** Who did the work, wrote it down, corrected it or struck it out. */
  readonly by?: string | undefined;
  /** Work done from this time on, epoch ms. */
  readonly fromMs?: string | undefined;
  /** Work done before this time. */
  readonly toMs?: string | undefined;
  /** `standing`: those struck out are left out. */
  readonly state?: 'standing' | 'corrected' | 'withdrawn' | undefined;
  /** Words that the entry must hold, in whatever field, capitals or not. */
  readonly text?: string | undefined;
}

/** The entries of a log that a query lets through. */
export function filteredLog(log: readonly EntryAnswer[], query: LogQuery): readonly EntryAnswer[] {
  const { conveyor, takeup, by, state } = query;
  const kinds = query.kinds === undefined ? undefined : new Set(query.kinds.split(','));
  const fromMs = query.fromMs === undefined ? -Infinity : Number(query.fromMs);
  const toMs = query.toMs === undefined ? Infinity : Number(query.toMs);
  const words = query.text?.trim().toLowerCase().split(/\s+/u) ?? [];
  return log.filter(
    (entry) =>
      (conveyor ?? entry.conveyor) === entry.conveyor &&
      (takeup === undefined || (entry.takeup ?? takeup) === takeup) &&
      (kinds === undefined || kinds.has(String(entry.entry['kind']))) &&
      (by === undefined || entry.by === by || entry.changedBy === by) &&
      entry.timeMs >= fromMs &&
      entry.timeMs < toMs &&
      (state === undefined || (state === 'standing' ? entry.state !== 'withdrawn' : entry.state === state)) &&
      holdsAll(entry, words),
  );
}

function holdsAll({ entry }: EntryAnswer, words: readonly string[]): boolean {
  const text = Object.values(entry)
    .flatMap((value) => (typeof value === 'string' || typeof value === 'number' ? [String(value)] : []))
    .join(' ')
    .toLowerCase();
  return words.every((word) => text.includes(word));
}
