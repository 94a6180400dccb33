import type { SiteFile } from './schema.js';
import { nearMiss } from './near-miss.js';
import { each } from './signal-places.js';
import { keyOf, type Complaint, type SitePath } from './site-fault.js';
import type { Sound } from './sound.js';

/** Levels of a conveyor's topics that are not free for the names of zones and take-ups. */
const RESERVED = ['ambient', 'running', 'speed'];

/** Ids name conveyors, and zones and take-ups within one conveyor; zones and take-ups share a level of the signal names. */
export function* checkIds(site: Sound<SiteFile>): Generator<Complaint> {
  yield* repeated([...each(site.conveyors, ['conveyors'])].map(([{ id }, path]) => ({ id, path })));
  yield* repeated(
    [...each(site.people, ['people'])].map(([{ id }, path]) => ({ id, path })),
    'a ladder would not know whom to page',
  );
  for (const [conveyor, path] of each(site.conveyors, ['conveyors'])) {
    const named = [...each(conveyor.zones, [...path, 'zones']), ...each(conveyor.takeups, [...path, 'takeups'])].map(
      ([{ id }, itsPath]) => ({
        id,
        path: itsPath,
      }),
    );
    yield* repeated(named);
    for (const { id, path: itsPath } of named) {
      if (id !== undefined && RESERVED.includes(id)) {
        yield {
          path: [...itsPath, 'id'],
          at: 'value',
          rule: 'reserved-id',
          message: `${id} is the name of something else in the conveyor's topics; choose another id`,
        };
      }
    }
  }
}

function* repeated(
  named: readonly { readonly id: string | undefined; readonly path: SitePath }[],
  why = 'their topics would be the same',
): Generator<Complaint> {
  for (const [index, { id, path }] of named.entries()) {
    const first = named.findIndex((other) => other.id === id);
    if (id === undefined || first === index) continue;
    yield {
      path: [...path, 'id'],
      at: 'value',
      rule: 'repeated-id',
      message: `${id} is the id of ${keyOf(named[first]?.path ?? [])} already; ${why}`,
    };
  }
}

/** Days are counted in the site's time zone, so the machine must know it. */
export function* checkTimeZone(site: Sound<SiteFile>): Generator<Complaint> {
  const timezone = site.site?.timezone;
  if (timezone === undefined || isTimeZone(timezone)) return;
  const meant = nearMiss(timezone, Intl.supportedValuesOf('timeZone'));
  yield {
    path: ['site', 'timezone'],
    at: 'value',
    rule: 'unknown-time-zone',
    message: `"${timezone}" is not a time zone of the IANA list, such as Europe/Oslo`,
    ...(meant === undefined ? {} : { meant }),
  };
}

function isTimeZone(name: string): boolean {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone !== '';
  } catch {
    return false;
  }
}
