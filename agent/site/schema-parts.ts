import { Type, type TObject, type TProperties, type TSchema, type TSchemaOptions } from 'typebox';
import type { Default } from './defaults.js';

/** An identifier becomes a level of a topic and a part of a signal's name, hence the narrow alphabet. */
export const ID_PATTERN = '^[a-z0-9][a-z0-9-]*$';
/** ISO 8601 with an offset, as `parseTime` reads it: a time of day without one means another instant on each machine. */
export const INSTANT_PATTERN = '^\\d{4}-\\d{2}-\\d{2}[Tt ]\\d{2}:\\d{2}(:\\d{2}([.,]\\d+)?)?([Zz]|[+-]\\d{2}(:?\\d{2})?)$';
/** MQTT 3.1.1, 4.7: a topic that is published to has at least one character and no wildcard. */
export const TOPIC_PATTERN = '^[^+#\\u0000]+$';
/** RFC 6901, 3: empty, or tokens each led by a slash, in which ~ is written ~0 and / is written ~1. */
export const POINTER_PATTERN = '^(/([^~/]|~[01])*)*$';
/** A mail address as far as anyone can tell without sending to it: one @, nothing that would end it in a header. */
export const ADDRESS_PATTERN = '^[^\\s@<>(),;:"\\[\\]]+@[^\\s@<>(),;:"\\[\\]]+$';
export const URL_PATTERN = '^https?://[^\\s/?#]+[^\\s?#]*$';
/** An hour on the site's clock. */
export const HOUR_PATTERN = '^([01]\\d|2[0-3]):[0-5]\\d$';
/** A date on the site's calendar, with or without an hour. */
export const DAY_PATTERN = '^\\d{4}-\\d{2}-\\d{2}([T ]([01]\\d|2[0-3]):[0-5]\\d)?$';

/** A mapping with a fixed set of keys; any other key is a fault. */
export function section<Properties extends TProperties>(description: string, properties: Properties): TObject<Properties> {
  return Type.Object(properties, { description, additionalProperties: false });
}

/** The options of a key that may be left out: the default itself for editors, its reason for people. */
export function byDefault(description: string, standing: Default<unknown>): TSchemaOptions {
  return { description: `${description} Default ${String(standing.value)}: ${standing.reason}.`, default: standing.value };
}

function options(said: string | TSchemaOptions): TSchemaOptions {
  return typeof said === 'string' ? { description: said } : said;
}

export function id(description: string) {
  return Type.String({ description: `${description} Small letters, digits and hyphens.`, pattern: ID_PATTERN });
}

/** Text for people: at least one character. */
export function words(description: string) {
  return Type.String({ description, minLength: 1 });
}

export function instant(description: string) {
  return Type.String({ description: `${description} ISO 8601 with offset, such as 2026-01-05T06:00:00Z.`, pattern: INSTANT_PATTERN });
}

/** A number above 0. */
export function positive(said: string | TSchemaOptions) {
  return Type.Number({ ...options(said), exclusiveMinimum: 0 });
}

/** A number from 0 up. */
export function atLeastZero(said: string | TSchemaOptions) {
  return Type.Number({ ...options(said), minimum: 0 });
}

/** A whole number from 1 up. */
export function count(said: string | TSchemaOptions) {
  return Type.Integer({ ...options(said), minimum: 1 });
}

/** Two numbers, in a list. */
export function pair(description: string) {
  return Type.Tuple([Type.Number(), Type.Number()], { description });
}

/** A list with at least one item. */
export function listOf<Item extends TSchema>(description: string, item: Item) {
  return Type.Array(item, { description, minItems: 1 });
}
