import { CROSS_CHECKS } from './cross-checks.js';
import { deepFreeze } from './deep-freeze.js';
import { resolveSite } from './resolve-site.js';
import { SITE_FILE, type SiteFile } from './schema.js';
import { inspectShape } from './shape.js';
import type { Site } from './site.js';
import { isWarning, keyOf, type Complaint, type FaultRule, type SiteFault, type WarningRule } from './site-fault.js';
import type { Sound } from './sound.js';
import { textComplaint } from './text.js';
import type { Place } from './place.js';
import { readYaml } from './yaml-source.js';

export type SiteReading =
  | { readonly ok: true; readonly site: Site; readonly warnings: readonly SiteFault[] }
  | { readonly ok: false; readonly faults: readonly SiteFault[] };

/**
 * Reads a site file: text → YAML → shape → cross-checks → defaults → frozen `Site`.
 *
 * @param text - the content of the file; a byte-order mark and CRLF are accepted
 * @param fileName - as the person gave it, for the faults
 * @returns the site with its warnings, or every fault of the file at once, in the order of the file
 */
export function readSite(text: string, fileName: string): SiteReading {
  const content = text.replace(/^\uFEFF/u, '');
  const unreadable = textComplaint(content);
  if (unreadable !== undefined) return { ok: false, faults: [faultAt(fileName, unreadable, unreadable)] };

  const yaml = readYaml(content);
  if (!yaml.ok) return { ok: false, faults: yaml.complaints.map((complaint) => faultAt(fileName, complaint, complaint)) };

  const { value, placeOf, complaints } = yaml.source;
  const place = (complaint: Complaint<FaultRule | WarningRule>): SiteFault =>
    faultAt(fileName, complaint, placeOf(complaint.path, complaint.at));

  const shape = inspectShape(SITE_FILE, value);
  // What the inspection leaves has been compared with the schema, leaf by leaf; only then is the type true.
  const sound = (shape.sound ?? {}) as Sound<SiteFile>;
  const told = CROSS_CHECKS.flatMap((check) => [...check(sound)]);
  const faults = [
    ...complaints.map((complaint) => faultAt(fileName, complaint, complaint)),
    ...[...shape.complaints, ...told.filter((complaint) => !isWarning(complaint))].map(place),
  ];
  if (faults.length > 0) return { ok: false, faults: faults.toSorted(inFileOrder) };

  // Without a complaint all of it is sound: the type is the value's own (`read-site-properties.test.ts` holds that against the schema library).
  return deepFreeze({ ok: true, site: resolveSite(value as SiteFile), warnings: told.filter(isWarning).map(place).toSorted(inFileOrder) });
}

function faultAt(file: string, { path, rule, message, meant }: Complaint<FaultRule | WarningRule>, { line, column }: Place): SiteFault {
  return { file, line, column, key: keyOf(path), rule, message, ...(meant === undefined ? {} : { meant }) };
}

function inFileOrder(a: SiteFault, b: SiteFault): number {
  return a.line - b.line || a.column - b.column || a.key.localeCompare(b.key, 'en');
}
