import { Type, type TArray, type TObject, type TSchema, type TUnion } from 'typebox';
import { leafComplaint, wrongType } from './leaf.js';
import { nearMiss } from './near-miss.js';
import type { Complaint, SitePath } from './site-fault.js';

/** What became of a value: its sound part, or undefined where nothing of it can be used. */
interface Inspection {
  readonly complaints: Complaint[];
  /** Where in the schema a key of this name is at home: for a key at the wrong depth, the commonest slip in YAML. */
  readonly homes: ReadonlyMap<string, string>;
}

/**
 * Compares a value with a schema, key by key, and finds every fault rather than the first. The validator of the schema
 * library judges the leaves; the walk is ours, because a person needs the unknown key beside the missing one it was
 * meant to be, and because the sound rest must be left for the cross-checks.
 *
 * @returns the complaints, and the value without the parts complained of
 */
export function inspectShape(schema: TSchema, value: unknown): { readonly complaints: readonly Complaint[]; readonly sound: unknown } {
  const inspection: Inspection = { complaints: [], homes: homesOf(schema) };
  const sound = inspect(inspection, schema, value, []);
  return { complaints: inspection.complaints, sound };
}

function inspect(inspection: Inspection, schema: TSchema, value: unknown, path: SitePath): unknown {
  if (Type.IsUnion(schema)) return inspectForms(inspection, schema, value, path);
  if (Type.IsObject(schema)) return inspectSection(inspection, schema, value, path);
  if (Type.IsArray(schema)) return inspectList(inspection, schema, value, path);
  const complaint = leafComplaint(schema, value, path);
  if (complaint === undefined) return value;
  inspection.complaints.push(complaint);
  return undefined;
}

function inspectSection(
  inspection: Inspection,
  schema: TObject,
  value: unknown,
  path: SitePath,
  alsoKnown: readonly string[] = [],
): unknown {
  if (!isMapping(value)) {
    inspection.complaints.push(wrongType(schema, value, path));
    return undefined;
  }
  const known = Object.keys(schema.properties);
  const meantKeys = new Set<string>();
  for (const key of Object.keys(value)) {
    if (known.includes(key) || alsoKnown.includes(key)) continue;
    const complaint = unknownKey(
      inspection,
      key,
      [...known, ...alsoKnown].filter((candidate) => !(candidate in value)),
      path,
    );
    if (complaint.meant !== undefined) meantKeys.add(complaint.meant);
    inspection.complaints.push(complaint);
  }
  const sound: Record<string, unknown> = {};
  for (const [key, inner] of Object.entries(schema.properties)) {
    if (Object.hasOwn(value, key)) sound[key] = inspect(inspection, inner, value[key], [...path, key]);
    else if (!Type.IsOptional(inner) && !meantKeys.has(key)) inspection.complaints.push(missingKey(inner, key, path));
  }
  return sound;
}

function inspectList(inspection: Inspection, schema: TArray, value: unknown, path: SitePath): unknown {
  if (!Array.isArray(value)) {
    inspection.complaints.push(wrongType(schema, value, path));
    return undefined;
  }
  if ('minItems' in schema && value.length === 0) {
    inspection.complaints.push({ path, at: 'key', rule: 'empty-list', message: 'the list is empty; at least one item is needed' });
  }
  return value.map((item: unknown, index) => inspect(inspection, schema.items, item, [...path, index]));
}

/** A section that may take one of several forms, told apart by the keys that only one of them has. */
function inspectForms(inspection: Inspection, schema: TUnion, value: unknown, path: SitePath): unknown {
  const forms = schema.anyOf.filter((form) => Type.IsObject(form));
  if (!isMapping(value) || forms.length === 0) {
    inspection.complaints.push(wrongType(forms[0] ?? schema, value, path));
    return undefined;
  }
  const ownKeys = forms.map((form) => Object.keys(form.properties).filter((key) => forms.some((other) => !(key in other.properties))));
  const given = ownKeys.map((keys) => keys.filter((key) => Object.hasOwn(value, key)));
  const chosen = given.findIndex((keys) => keys.length === Math.max(...given.map((each) => each.length)));
  const form = forms[chosen];
  const allKeys = forms.flatMap((each) => Object.keys(each.properties));
  if (form === undefined || given.every((keys) => keys.length === 0)) {
    const strangers = Object.keys(value).filter((key) => !allKeys.includes(key));
    if (strangers.length === 0) inspection.complaints.push(eitherOr(schema, path, 'none of the forms is given'));
    for (const key of strangers) inspection.complaints.push(unknownKey(inspection, key, allKeys, path));
    return undefined;
  }
  const foreign = Object.keys(value).filter((key) => allKeys.includes(key) && !(key in form.properties));
  const [firstForeign] = foreign;
  if (firstForeign !== undefined) {
    inspection.complaints.push(eitherOr(schema, [...path, firstForeign], `${given[chosen]?.[0] ?? 'the other form'} is given too`));
  }
  const sound = inspectSection(inspection, form, value, path, foreign);
  return firstForeign === undefined ? sound : undefined;
}

function eitherOr(schema: TUnion, path: SitePath, found: string): Complaint {
  const rule = 'description' in schema && typeof schema.description === 'string' ? schema.description : 'One form only.';
  return { path, at: 'key', rule: 'either-or', message: `${found}. ${rule}` };
}

function unknownKey(inspection: Inspection, key: string, candidates: readonly string[], path: SitePath): Complaint {
  const complaint = { path: [...path, key], at: 'key', rule: 'unknown-key' } as const;
  const meant = nearMiss(key, candidates);
  if (meant !== undefined) return { ...complaint, message: 'there is no such key', meant };
  const home = inspection.homes.get(key);
  if (home !== undefined) return { ...complaint, message: `there is no such key here; it belongs in ${home}` };
  const known = candidates.length === 0 ? '' : `; what can stand here: ${candidates.join(', ')}`;
  return { ...complaint, message: `there is no such key${known}` };
}

function missingKey(schema: TSchema, key: string, path: SitePath): Complaint {
  const said = 'description' in schema && typeof schema.description === 'string' ? ` (${schema.description.replace(/\.$/u, '')})` : '';
  return { path: [...path, key], at: 'key', rule: 'missing-key', message: `is missing${said}` };
}

function isMapping(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** For each key of the schema the section it stands in, where there is only one such. */
function homesOf(schema: TSchema): ReadonlyMap<string, string> {
  const all = new Map<string, Set<string>>();
  const walk = (inner: TSchema, place: string): void => {
    if (Type.IsUnion(inner)) for (const form of inner.anyOf) walk(form, place);
    else if (Type.IsArray(inner)) walk(inner.items, `${place}[]`);
    else if (Type.IsObject(inner)) {
      for (const [key, property] of Object.entries(inner.properties)) {
        all.set(key, (all.get(key) ?? new Set()).add(place));
        walk(property, place === '' ? key : `${place}.${key}`);
      }
    }
  };
  walk(schema, '');
  return new Map([...all].flatMap(([key, places]) => (places.size === 1 ? [...places].map((place) => [key, place] as const) : [])));
}
