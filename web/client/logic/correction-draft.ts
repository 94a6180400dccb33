import type { EntryAnswer } from '../../server/logic/work-answers.js';
import type { UnitSystem } from '../../../agent/units/display.js';
import { toShown } from '../../../agent/units/display.js';
import { readDraft, type Draft, type DraftContext, type Faults, type Typed } from './entry-draft.js';
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

/** What is to be changed of an entry, nothing, or what is wrong with the form. */
export type ReadCorrection =
  { readonly ok: true; readonly changes: Json } | { readonly ok: false; readonly faults: Faults; readonly nothing: boolean };

/**
 * The changes that make an entry say what the form says: only what differs from what the form was opened with, a field that was
 * emptied as null, and a changed time as `at`.
 *
 * @param first - the form as it was opened
 */
export function readCorrection(first: Draft, draft: Draft, context: DraftContext): ReadCorrection {
  const read = readDraft(draft, context);
  if (!read.ok) return { ...read, nothing: false };
  const before = readDraft(first, context);
  const { time, ...now } = read.entry;
  const old: Json = before.ok ? before.entry : {};
  const changes: Record<string, unknown> = {};
  for (const key of new Set([...Object.keys(now), ...Object.keys(old)])) {
    if (!FIXED.has(key) && JSON.stringify(now[key]) !== JSON.stringify(old[key])) changes[key] = now[key] ?? null;
  }
  if (first.time !== draft.time) changes['at'] = time;
  return Object.keys(changes).length === 0 ? { ok: false, faults: {}, nothing: true } : { ok: true, changes };
}

/** What an entry is, and where: a correction leaves that as it is. */
const FIXED: ReadonlySet<string> = new Set(['time', 'kind', 'conveyor', 'takeup']);

function isRecord(value: unknown): value is Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
