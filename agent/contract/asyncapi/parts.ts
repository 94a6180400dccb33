import { Type } from 'typebox';
import type { UnknownReason } from '../../units/unknown.js';
import { describing } from './same.js';

/** Why a value is not known: the first reason met on a reading's way. */
export const unknownValue = describing<{ unknown: UnknownReason }>()(
  Type.Object(
    {
      unknown: Type.Enum(
        [
          'never-read',
          'signal-lost',
          'signal-fault',
          'running-unknown',
          'standing',
          'at-stop',
          'springs-solid',
          'springs-free',
          'change-unexplained',
          'not-settled',
          'not-configured',
        ],
        { description: "The first reason met on the reading's way." },
      ),
    },
    { description: 'A value that is not known, and why. It is no number: compare it with nothing.' },
  ),
);

/** A number, or why there is none. @param description - with the unit */
export function figure(description: string) {
  return Type.Union([Type.Number(), unknownValue], { description });
}

/** A number, or null. @param description - with the unit, and what null means */
export function numberOrNull(description: string) {
  return Type.Union([Type.Number(), Type.Null()], { description });
}

export function number(description: string) {
  return Type.Number({ description });
}

/** A whole number from 0 up. */
export function count(description: string) {
  return Type.Integer({ description, minimum: 0 });
}

export function text(description: string) {
  return Type.String({ description, minLength: 1 });
}

/** An instant: ISO 8601 in UTC, milliseconds where there are any. */
export function time(description: string) {
  return Type.String({ description: `${description} ISO 8601, UTC.`, format: 'date-time', pattern: 'Z$' });
}

/** A calendar day in the site's time zone. */
export function day(description: string) {
  return Type.String({ description: `${description} YYYY-MM-DD in the site's time zone.`, format: 'date' });
}

/** Epoch milliseconds. */
export function epochMs(description: string) {
  return Type.Number({ description: `${description} Milliseconds since 1970-01-01T00:00:00Z.` });
}

export const version = Type.Literal(1, { description: 'Version of this message: another number means another meaning.' });
export const conveyor = text('Id of the conveyor.');
export const takeup = text('Id of the take-up.');
export const side = Type.Enum(['left', 'right'], { description: 'Side of the carriage, as the site file names them.' });
