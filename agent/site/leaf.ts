import { Type, type TSchema } from 'typebox';
import { Errors } from 'typebox/value';
import { nearMiss } from './near-miss.js';
import {
  ADDRESS_PATTERN,
  DAY_PATTERN,
  HOUR_PATTERN,
  ID_PATTERN,
  INSTANT_PATTERN,
  POINTER_PATTERN,
  TOPIC_PATTERN,
  URL_PATTERN,
} from './schema-parts.js';
import type { Complaint, FaultRule, SitePath } from './site-fault.js';

type Said = Omit<Complaint, 'path' | 'at'>;

/** What a text must look like, by the pattern that the schema asks of it. */
const PATTERNS: Readonly<Record<string, { readonly rule: FaultRule; readonly message: string }>> = {
  [ID_PATTERN]: {
    rule: 'bad-id',
    message: 'an id has only small letters, digits and hyphens, and begins with a letter or digit, because it becomes part of a topic',
  },
  [INSTANT_PATTERN]: {
    rule: 'bad-time',
    message: 'a time is written with its offset, such as 2026-01-05T06:00:00Z or 2026-01-05T07:00:00+01:00',
  },
  [TOPIC_PATTERN]: { rule: 'bad-topic', message: 'a topic has at least one character and none of the wildcards + and #' },
  [POINTER_PATTERN]: {
    rule: 'bad-pointer',
    message: 'not a JSON Pointer (RFC 6901): each step begins with /, as in /data/value; ~ is written ~0 and / is written ~1',
  },
  [ADDRESS_PATTERN]: { rule: 'bad-address', message: 'not a mail address: write it bare, as in stores@alder-point.example' },
  [URL_PATTERN]: { rule: 'bad-url', message: 'not an address that begins with http:// or https:// and ends before any ? or #' },
  [HOUR_PATTERN]: { rule: 'bad-time', message: 'an hour is written with two figures each, in quotes: "07:00"' },
  [DAY_PATTERN]: { rule: 'bad-time', message: "a day is written 2026-01-05, or with its hour on the site's clock 2026-01-05T07:00" },
};

/** What is wrong with a single value (a number, a text, a word of a list, a pair of numbers), if anything. */
export function leafComplaint(schema: TSchema, value: unknown, path: SitePath): Complaint | undefined {
  const [error] = Errors(schema, value);
  if (error === undefined) return undefined;
  const at = value === null ? 'key' : 'value';
  switch (error.keyword) {
    case 'enum':
      return { path, at, ...sayEnum(error.params.allowedValues.map(String), value) };
    case 'pattern':
      return { path, at, ...(PATTERNS[String(error.params.pattern)] ?? { rule: 'out-of-range', message: 'is not written as it must be' }) };
    case 'minLength':
      return { path, at, rule: 'empty-text', message: 'is empty; write something a person can read' };
    case 'exclusiveMinimum':
    case 'exclusiveMaximum':
    case 'minimum':
    case 'maximum':
      return { path, at, ...sayBounds(schema, value) };
    case 'type':
      return wrongType(schema, value, path);
    default:
      return { ...wrongType(schema, value, path), at: 'key' };
  }
}

/** That a value is of the wrong type, with what would be right where that can be told. */
export function wrongType(schema: TSchema, value: unknown, path: SitePath): Complaint {
  if (Type.IsInteger(schema) && typeof value === 'number' && Number.isFinite(value)) {
    return { path, at: 'value', rule: 'not-whole', message: `${String(value)} is not a whole number` };
  }
  const meant = meantValue(schema, value, String(path.at(-1)));
  const message = `${sayFound(value)}; it must be ${sayExpected(schema)}`;
  const at = isScalar(value) ? 'value' : 'key';
  return { path, at, rule: 'wrong-type', message, ...(meant === undefined ? {} : { meant }) };
}

function sayEnum(allowed: readonly string[], value: unknown): Said {
  const meant = typeof value === 'string' ? nearMiss(value, allowed) : undefined;
  return {
    rule: 'unknown-value',
    message: `${sayFound(value)}; it must be one of ${allowed.join(', ')}`,
    ...(meant === undefined ? {} : { meant }),
  };
}

function sayBounds(schema: TSchema, value: unknown): Said {
  const bound = (keyword: string): unknown =>
    keyword in schema ? Object.entries(schema).find(([key]) => key === keyword)?.[1] : undefined;
  const parts = [
    ['more than', bound('exclusiveMinimum')],
    ['at least', bound('minimum')],
    ['less than', bound('exclusiveMaximum')],
    ['at most', bound('maximum')],
  ].flatMap(([word, limit]) => (typeof limit === 'number' ? [`${String(word)} ${String(limit)}`] : []));
  const onlyPositive = parts.length === 1 && bound('exclusiveMinimum') === 0;
  return { rule: onlyPositive ? 'not-positive' : 'out-of-range', message: `${String(value)} cannot be; it must be ${parts.join(' and ')}` };
}

function sayFound(value: unknown): string {
  if (value === null || value === undefined) return 'nothing is given';
  if (typeof value === 'string') return value === '' ? 'the text is empty' : `"${value.slice(0, 40)}" is given`;
  if (Array.isArray(value)) return 'a list is given';
  return isScalar(value) ? `${String(value)} is given` : 'a section of keys is given';
}

function sayExpected(schema: TSchema): string {
  if (Type.IsInteger(schema)) return 'a whole number';
  if (Type.IsNumber(schema)) return 'a number';
  if (Type.IsBoolean(schema)) return 'true or false';
  if (Type.IsTuple(schema)) return 'two numbers, such as [4, 20]';
  if (Type.IsArray(schema)) return 'a list ([] for none)';
  if (Type.IsString(schema)) return 'text';
  return Object.keys(Type.IsObject(schema) ? schema.properties : {}).length === 0 ? 'empty: {}' : 'a section of keys ({} for none)';
}

/** The value as it was probably meant: a comma for the point, a unit or quotes too many, yes for true. */
function meantValue(schema: TSchema, value: unknown, key: string): string | undefined {
  if ((Type.IsNumber(schema) || Type.IsInteger(schema)) && typeof value === 'string') {
    const [, digits, unit = ''] = /^\s*([+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)\s*([a-z%]*)\s*$/iu.exec(value) ?? [];
    // Another unit than the key's would need converting, and that is for the person to decide.
    return unit === '' || key.endsWith(`_${unit.toLowerCase()}`) ? digits?.replace(',', '.') : undefined;
  }
  if (Type.IsBoolean(schema)) {
    const word = String(value).toLowerCase();
    if (['yes', 'y', 'on', '1', 'true'].includes(word)) return 'true';
    if (['no', 'n', 'off', '0', 'false'].includes(word)) return 'false';
  }
  return Type.IsString(schema) && (typeof value === 'number' || typeof value === 'boolean') ? `"${String(value)}"` : undefined;
}

function isScalar(value: unknown): value is string | number | boolean {
  return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';
}
