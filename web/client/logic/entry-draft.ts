import type { UnitSystem } from '../../../agent/units/display.js';
import { formatTime } from '../../../agent/units/time.js';
import { fieldsOfKind, type EntryField, type FieldName, type FormKind } from './entry-fields.js';
import type { Place } from './entry-place.js';
import { fromField } from './site-clock.js';
import { typedNumber, type TypedKind } from './typed-number.js';

/** What a person has typed, by the names of the fields; what they have not touched is not there. */
export type Typed = Readonly<Partial<Record<FieldName, string>>>;

export interface Draft {
  readonly kind: FormKind;
  /** As the date-and-time field has it, on the site's clock. */
  readonly time: string;
  readonly typed: Typed;
}

export interface DraftContext {
  readonly place: Place;
  readonly units: UnitSystem;
  readonly timezone: string;
  /** Now, where it is work just done: of two instants that the clock shows alike, the one nearer to it. */
  readonly nowMs?: number;
}

/** What is wrong, by the field that it is wrong with. */
export type Faults = Readonly<Partial<Record<FieldName | 'time', string>>>;

export type ReadDraft =
  { readonly ok: true; readonly entry: Readonly<Record<string, unknown>> } | { readonly ok: false; readonly faults: Faults };

type Value = { readonly value: string | number | undefined } | { readonly fault: string };

/** The entry that a draft stands for, in the contract's own form and units; or what is wrong with every field at once. */
export function readDraft({ kind, time, typed }: Draft, { place, units, timezone, nowMs }: DraftContext): ReadDraft {
  const faults: Partial<Record<FieldName | 'time', string>> = {};
  const values: Partial<Record<FieldName, string | number>> = {};
  const timeMs = fromField(time, timezone, nowMs);
  if (timeMs === undefined) faults.time = 'Give a date and a time that the clock of the site has.';
  for (const field of fieldsOfKind(kind, place)) {
    const read = readField(field, typed[field.name], units);
    if ('fault' in read) faults[field.name] = read.fault;
    else if (read.value !== undefined) values[field.name] = read.value;
  }
  if (kind === 'nut-turned' && faults.turns === undefined && faults.spring_mm === undefined) {
    const given = [values.turns, values.spring_mm].filter((value) => value !== undefined).length;
    if (given === 0) faults.turns = 'Give the turns or the spring length.';
    if (given === 2) faults.spring_mm = 'Give the turns or the spring length, not both.';
  }
  if (timeMs === undefined || Object.keys(faults).length > 0) return { ok: false, faults };
  const { conveyor, takeup } = place;
  const ofChain = kind.startsWith('chain-') || kind === 'lubricated';
  return {
    ok: true,
    entry: {
      ...{ time: formatTime(timeMs), conveyor: conveyor.id },
      ...(ofChain ? {} : { takeup: takeup.id }),
      kind,
      ...(kind === 'spring-replaced' ? withSpring(values, takeup.spring.perSide) : values),
    },
  };
}

/** The new spring's own data stand together; how many there are on a side stays as it was. */
function withSpring(values: Partial<Record<FieldName, string | number>>, perSide: number): Readonly<Record<string, unknown>> {
  const { free_mm, rate_n_per_mm, solid_mm, clearance_mm, ...others } = values;
  return { ...others, spring: { free_mm, rate_n_per_mm, solid_mm, clearance_mm, per_side: perSide } };
}

function readField(field: EntryField, typed: string | undefined, units: UnitSystem): Value {
  const text = typed?.trim();
  // What stands there as usual is the site's own value, not its rounding to the units of the person.
  if (text === undefined && field.usual !== undefined) return { value: field.usual };
  if (text === undefined || text === '') return field.required ? { fault: missing(field) } : { value: undefined };
  switch (field.type) {
    case 'choice':
      return field.choices?.some(([value]) => value === text) === true ? { value: text } : { fault: missing(field) };
    case 'words':
    case 'long-words':
      return { value: text };
    default:
      return readNumber(field, text, units);
  }
}

function missing({ type }: EntryField): string {
  if (type === 'choice') return 'Choose one.';
  return type === 'long-words' ? 'Write something.' : 'Give a number.';
}

function readNumber({ type, least }: EntryField, text: string, units: UnitSystem): Value {
  return typedNumber(text, TYPED_AS[type] ?? 'number', units, least);
}

const TYPED_AS: Readonly<Partial<Record<EntryField['type'], TypedKind>>> = { count: 'count', length: 'travel', rate: 'spring-rate' };
