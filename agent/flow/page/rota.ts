import { handOverDateBefore } from '../../site/hand-over.js';
import type { Rota } from '../../site/site.js';
import { dateOfDayNumber, dayNumberOf } from '../../units/local-day.js';
import { instantOfLocal } from '../../units/local-instant.js';
import { localTime } from '../../units/local-time.js';

/** Who is on call at a time. */
export interface OnCall {
  readonly person: string;
  /** Whether it is the person's own week, or one taken over. */
  readonly by: 'turn' | 'swap';
  /** Who comes after; undefined where there is nobody else. */
  readonly next: string | undefined;
}

/**
 * Who is on call. A week runs from hand-over to hand-over on the site's clock, so it has 167 or 169 hours where summer time begins or ends.
 *
 * @param timezone - IANA name of the site's
 * @returns undefined before the first week
 */
export function onCallAt(
  { people, handOverDay, handOverAt, firstDate, overrides }: Rota,
  timezone: string,
  atMs: number,
): OnCall | undefined {
  const latest = handOverDateBefore(localTime(atMs, timezone).date, handOverDay);
  // On the day itself the hour decides; compared as instants, since the clock may show that hour twice.
  const handed = instantOfLocal(latest, handOverAt, timezone) <= atMs ? latest : dateOfDayNumber(dayNumberOf(latest) - 7);
  const week = Math.round((dayNumberOf(handed) - dayNumberOf(firstDate)) / 7);
  const swap = overrides.findLast(({ fromMs, toMs }) => fromMs <= atMs && atMs < toMs);
  const own = week < 0 ? undefined : people[week % people.length];
  const person = swap?.person ?? own;
  if (person === undefined) return undefined;
  const after = people.map((_, index) => people[(Math.max(week, -1) + 1 + index) % people.length] as string);
  return { person, by: swap === undefined ? 'turn' : 'swap', next: after.find((candidate) => candidate !== person) };
}
