import type { EntryAnswer } from '../../server/logic/work-answers.js';
import { formatTime } from '../../../agent/units/time.js';
import type { UnitSystem } from '../../../agent/units/display.js';
import { toShown } from '../../../agent/units/display.js';
import { readDraft, type Draft, type DraftContext, type ReadDraft, type Typed } from './entry-draft.js';
import { fieldsOfKind, FORM_KINDS, SHOWN_AS, type FormKind } from './entry-fields.js';
import type { Place } from './entry-place.js';
import { toField } from './site-clock.js';

type Json = Readonly<Record<string, unknown>>;

/** Whether an entry can be corrected by the form: its kind is one of those that it knows. */
export function formKindOf(entry: Json): FormKind | undefined {
  return FORM_KINDS.find((kind) => kind === entry['kind']);
}

/** The form as a person finds it who corrects an entry: filled in with what the entry says. */
export function draftOfEntry({ entry, timeMs }: EntryAnswer, kind: FormKind, { place, units, timezone }: DraftContext): Draft {
  return { kind, time: toField(timeMs, timezone), typed: typedOf(entry, kind, place, units) };
}

function typedOf(entry: Json, kind: FormKind, place: Place, units: UnitSystem): Typed {
  const spring = isRecord(entry['spring']) ? entry['spring'] : {};
  const typed: Record<string, string> = {};
  for (const { name, type } of fieldsOfKind(kind, place)) {
    const value = entry[name] ?? spring[name];
    const shown = SHOWN_AS[type];
    if (typeof value === 'string') typed[name] = value;
    else if (typeof value === 'boolean') typed[name] = value ? 'yes' : 'no';
    else if (typeof value === 'number') typed[name] = String(shown === undefined ? value : Number(toShown(shown, value, units).toFixed(3)));
  }
  return typed;
}

/**
 * The correction that makes an entry say what the form says: only what differs from what the form was opened with, a field that was
 * emptied as null, and a changed time as `at`.
 *
 * @param first - the form as it was opened
 * @param nowMs - when it is corrected
 */
export function readCorrection(
  { id, entry }: EntryAnswer,
  first: Draft,
  draft: Draft,
  context: DraftContext,
  nowMs: number,
): ReadDraft | { readonly ok: false; readonly faults: Readonly<Record<string, never>>; readonly nothing: true } {
  const read = readDraft(draft, context);
  const before = readDraft(first, context);
  if (!read.ok) return read;
  const old: Json = before.ok ? before.entry : entry;
  const { time, ...now } = read.entry;
  const changes: Record<string, unknown> = {};
  for (const key of new Set([...Object.keys(now), ...Object.keys(old)])) {
    if (key !== 'time' && JSON.stringify(now[key]) !== JSON.stringify(old[key])) changes[key] = now[key] ?? null;
  }
  if (first.time !== draft.time) changes['at'] = time;
  if (Object.keys(changes).length === 0) return { ok: false, faults: {}, nothing: true };
  return { ok: true, entry: { time: formatTime(nowMs), conveyor: entry['conveyor'], kind: 'correction', replaces: id, ...changes } };
}

/** The correction that strikes an entry out: it stays in the log, and counts for nothing any more. */
export function withdrawalOf({ id, entry }: EntryAnswer, nowMs: number): Json {
  return { time: formatTime(nowMs), conveyor: entry['conveyor'], kind: 'correction', replaces: id, withdraw: true };
}

function isRecord(value: unknown): value is Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
