import type { LoggedEntry } from '../../../agent/store/history.js';
import { formatTime } from '../../../agent/units/time.js';
import type { EntryAnswer } from './work-answers.js';

/** Columns of the exported log: every field that an entry may have, lengths in mm, as corrected; `spring` as JSON, `written` when the agent took it. */
const COLUMNS = [
  ...['id', 'time', 'conveyor', 'takeup', 'kind', 'side', 'pitches', 'carriers', 'turns', 'spring_mm', 'position_mm'],
  ...['spring', 'rock', 'restraint_nuts', 'noise', 'filings', 'note', 'text', 'by', 'written', 'state', 'changed_by'],
] as const;

/** The log as comma-separated values (RFC 4180), a header first. */
export function logAsCsv(log: readonly EntryAnswer[]): string {
  const rows = log.map(({ id, timeMs, takenMs, conveyor, takeup, by, state, changedBy, entry }) => {
    const own: Readonly<Record<string, unknown>> = {
      ...entry,
      ...{
        id,
        time: formatTime(timeMs),
        conveyor,
        takeup,
        by,
        written: formatTime(takenMs),
        state: state ?? 'as written',
        changed_by: changedBy,
      },
    };
    return COLUMNS.map((column) => cell(own[column])).join(',');
  });
  return [COLUMNS.join(','), ...rows].map((row) => `${row}\r\n`).join('');
}

/** A spreadsheet takes a text that begins so for a formula, and runs it: a mark before it keeps it a text. */
const LOOKS_LIKE_A_FORMULA = /^[=+\-@\t\r]/u;

function cell(value: unknown): string {
  if (value === undefined || value === null) return '';
  if (typeof value === 'number' || typeof value === 'boolean') return String(value);
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  const plain = LOOKS_LIKE_A_FORMULA.test(text) ? `'${text}` : text;
  return /[",\r\n]/u.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}

/**
 * The log as JSON lines in the contract's own form, as `takeline replay --service` reads it: the entries as they were written, with every
 * correction of them, in order of time.
 *
 * @param log - the entries that are asked for
 * @param entries - of the whole site, corrections among them
 */
export function logAsJsonLines(log: readonly EntryAnswer[], entries: readonly LoggedEntry[]): string {
  const asked = new Set(log.map(({ id }) => id));
  for (let before = 0; before < asked.size;) {
    before = asked.size;
    for (const { id, kind, body } of entries) if (kind === 'correction' && asked.has(String(body['replaces']))) asked.add(id);
  }
  return entries
    .filter(({ id }) => asked.has(id))
    .toSorted((a, b) => a.timeMs - b.timeMs)
    .map(({ id, body }) => `${JSON.stringify({ ...body, id })}\n`)
    .join('');
}
