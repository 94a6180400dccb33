import { Check } from 'typebox/value';
import { checkSpring } from './check-spring.js';
import { deepFreeze } from './deep-freeze.js';
import { resolveSpring } from './resolve-spring.js';
import { spring as SPRING } from './schema-takeup.js';
import type { SpringFile } from './schema.js';
import { inspectShape } from './shape.js';
import type { Spring } from './site.js';
import { isWarning, type Complaint, type FaultRule, type WarningRule } from './site-fault.js';
import type { Sound } from './sound.js';

/**
 * Reads a spring by itself, by the rules of the site file: a service entry names a new one in the same words.
 *
 * @param value - what stood in the entry, of whatever type
 * @returns the spring with rate, solid length and clearance filled in and frozen, or every complaint (paths within the spring)
 */
export function readSpring(
  value: unknown,
):
  | { readonly ok: true; readonly spring: Spring }
  | { readonly ok: false; readonly complaints: readonly Complaint<FaultRule | WarningRule>[] } {
  const shape = inspectShape(SPRING, value);
  // What the inspection leaves has been compared with the schema, leaf by leaf; only then is the type true.
  const told = [...checkSpring((shape.sound ?? {}) as Sound<SpringFile>, [])].filter((complaint) => !isWarning(complaint));
  const complaints = [...shape.complaints, ...told];
  if (complaints.length > 0) return { ok: false, complaints };
  if (!Check(SPRING, value)) throw new Error('a spring without complaints does not match its own schema');
  return { ok: true, spring: deepFreeze(resolveSpring(value)) };
}
