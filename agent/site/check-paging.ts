import { momentOf } from './hand-over.js';
import { nearMiss } from './near-miss.js';
import type { SiteFile } from './schema.js';
import { each } from './signal-places.js';
import type { Complaint, SitePath } from './site-fault.js';
import type { Sound } from './sound.js';

/** What a step of a ladder can name beside people; so nobody can be called that. */
const ROLES = ['on-call', 'next-on-call', 'everyone'];
const PRIORITIES = ['urgent', 'high', 'medium', 'low'] as const;

/** What people, rota and ladders say about one another. */
export function* checkPaging(site: Sound<SiteFile>): Generator<Complaint> {
  const ids = (site.people ?? []).flatMap((person) => person?.id ?? []);
  yield* checkPeople(site);
  yield* checkRota(site, ids);
  yield* checkLadders(site, ids);
}

function* checkPeople({ people }: Sound<SiteFile>): Generator<Complaint> {
  for (const [{ id, channels }, path] of each(people, ['people'])) {
    if (id !== undefined && ROLES.includes(id)) {
      yield {
        ...{ path: [...path, 'id'], at: 'value', rule: 'reserved-id' },
        message: `${id} means something else in a ladder; choose another id`,
      };
    }
    if (channels !== undefined && Object.keys(channels).length === 0) {
      yield {
        ...{ path: [...path, 'channels'], at: 'key', rule: 'no-channel' },
        message: 'nothing reaches this person; give email, webhook, or both',
      };
    }
  }
}

function* checkRota({ rota, site }: Sound<SiteFile>, ids: readonly string[]): Generator<Complaint> {
  for (const [index, id] of (rota?.people ?? []).entries()) yield* unknownPerson(id, ['rota', 'people', index], ids);
  const at = rota?.hand_over?.at ?? '00:00';
  const timezone = site?.timezone ?? 'UTC';
  const missing = (text: string | undefined): boolean => text !== undefined && Number.isNaN(momentOf(text, at, timezone));
  if (missing(rota?.first_week)) yield noSuchDay(rota?.first_week, ['rota', 'first_week']);
  for (const [override, path] of each(rota?.overrides, ['rota', 'overrides'])) {
    const { from, to, person } = override;
    yield* unknownPerson(person, [...path, 'person'], ids);
    if (missing(from)) yield noSuchDay(from, [...path, 'from']);
    if (missing(to)) yield noSuchDay(to, [...path, 'to']);
    if (from !== undefined && to !== undefined && momentOf(from, at, timezone) >= momentOf(to, at, timezone)) {
      yield { path: [...path, 'to'], at: 'value', rule: 'override-order', message: `${to} does not come after ${from}` };
    }
  }
}

function* checkLadders({ paging, rota }: Sound<SiteFile>, ids: readonly string[]): Generator<Complaint> {
  for (const priority of PRIORITIES) {
    const ladder = paging?.ladders?.[priority];
    const path = ['paging', 'ladders', priority];
    let lastMin = 0;
    for (const [{ after_min: afterMin, to }, stepPath] of each(ladder?.steps, [...path, 'steps'])) {
      if (to !== undefined && to.endsWith('on-call') && ROLES.includes(to)) {
        if (rota === undefined) {
          yield { path: [...stepPath, 'to'], at: 'value', rule: 'rota-missing', message: `nobody is ${to} without a rota; write one` };
        }
      } else yield* unknownPerson(to, [...stepPath, 'to'], ids, ROLES);
      if (afterMin === undefined) continue;
      if (afterMin < lastMin) {
        yield {
          ...{ path: [...stepPath, 'after_min'], at: 'value', rule: 'ladder-order' },
          message: `${String(afterMin)} min comes before the step above it, at ${String(lastMin)} min`,
        };
      }
      lastMin = Math.max(lastMin, afterMin);
    }
    const stopMin = ladder?.stop_after_min;
    if (stopMin !== undefined && stopMin <= lastMin) {
      yield {
        ...{ path: [...path, 'stop_after_min'], at: 'value', rule: 'ladder-order' },
        message: `paging would end after ${String(stopMin)} min, and its last step is at ${String(lastMin)} min`,
      };
    }
  }
}

function* unknownPerson(
  id: string | undefined,
  path: SitePath,
  ids: readonly string[],
  others: readonly string[] = [],
): Generator<Complaint> {
  if (id === undefined || ids.includes(id) || others.includes(id)) return;
  const meant = nearMiss(id, [...ids, ...others]);
  const known = ids.length === 0 ? 'there are no people' : `the people are ${ids.join(', ')}`;
  const also = others.length === 0 ? '' : `; a step can also go to ${others.join(', ')}`;
  yield {
    ...{ path, at: 'value', rule: 'unknown-person', message: `nobody has the id ${id}; ${known}${also}` },
    ...(meant === undefined ? {} : { meant }),
  };
}

function noSuchDay(text: string | undefined, path: SitePath): Complaint {
  return { path, at: 'value', rule: 'bad-time', message: `the calendar has no ${String(text)}` };
}
