import { nearMiss } from '../site/near-miss.js';

/** Where in the file, and what is wrong there. */
export type Fault = string;

/** Keys of these are ids and stand as they are. */
const KEYED_BY_ID = /\.(heat|takeups)$/;

/**
 * Puts a person's JSON over a template: the same keys with underscores, values of the same sort. A list replaces the whole list.
 *
 * @param template - says which keys there are and what they hold
 * @param path - of the value in the file, for the faults, which are added to `faults`
 */
export function overlay(template: unknown, json: unknown, path: string, faults: Fault[]): unknown {
  if (typeof template === 'number') {
    if (typeof json === 'number' && Number.isFinite(json)) return json;
    faults.push(`${path} is ${JSON.stringify(json)}; it must be a number`);
    return template;
  }
  if (Array.isArray(template)) return overlayList(template, json, path, faults);
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    faults.push(`${path} must be an object`);
    return template;
  }
  const written = KEYED_BY_ID.test(path) ? (key: string) => key : underscored;
  const known = new Map(Object.entries(template as Record<string, unknown>).map(([key, value]) => [written(key), { key, value }]));
  const over: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(json)) {
    const place = known.get(key);
    if (place === undefined) {
      const meant = nearMiss(key, [...known.keys()]);
      const there = [...known.keys()].join(', ');
      faults.push(`${path}.${key}: there is no such key; ${meant === undefined ? `there is ${there}` : `perhaps ${meant} was meant`}`);
      continue;
    }
    over[place.key] = overlay(place.value, value, `${path}.${key}`, faults);
  }
  return { ...(template as object), ...over };
}

/** A list whose items are like the template's first. */
function overlayList(template: readonly unknown[], json: unknown, path: string, faults: Fault[]): unknown {
  if (Array.isArray(json)) return json.map((item: unknown, index) => overlay(template[0], item, `${path}[${String(index)}]`, faults));
  faults.push(`${path} must be a list`);
  return template;
}

/** `pctPer1000Hours` as a person writes it: `pct_per_1000_hours`. */
export function underscored(key: string): string {
  return key.replaceAll(/[A-Z]|(?<!\d)\d/g, (found) => `_${found.toLowerCase()}`);
}
