import { resolveSpring } from '../site/resolve-spring.js';
import { spring as SPRING } from '../site/schema-takeup.js';
import type { SpringFile } from '../site/schema.js';
import { inspectShape } from '../site/shape.js';
import { keyOf } from '../site/site-fault.js';
import type { Spring } from '../site/site.js';

/** The spring of a service entry, read by the rules of the site file; or in words what is wrong with it. */
export function readEntrySpring(json: unknown): Spring | string {
  const { complaints } = inspectShape(SPRING, json);
  const [complaint] = complaints;
  if (complaint !== undefined) {
    const meant = complaint.meant === undefined ? '' : `; perhaps ${complaint.meant} was meant`;
    return `${keyOf(['spring', ...complaint.path])}: ${complaint.message}${meant}`;
  }
  // No complaint: the value has the shape of the schema.
  const spring = resolveSpring(json as SpringFile);
  const { freeMm, solidMm, clearanceMm, wire } = spring;
  if (wire !== undefined && wire.totalCoils < wire.activeCoils) return 'spring.total_coils: fewer coils in all than active ones';
  if (wire !== undefined && wire.meanDiameterMm <= wire.wireMm) return 'spring.mean_diameter_mm: the coils are narrower than their wire';
  if (solidMm >= freeMm) return `spring: its solid length, ${solidMm} mm, must be below its free length, ${freeMm} mm`;
  if (solidMm + clearanceMm >= freeMm) return `spring: solid length and clearance leave nothing of its free length, ${freeMm} mm`;
  return Object.freeze(spring);
}
