import type { Person, Site } from '../../site/site.js';
import type { Channel } from './page-output.js';
import { onCallAt } from './rota.js';

/** The people that a step of a ladder means at a time; none where nobody is on call. */
export function targetsAt({ people, rota, timezone }: Site, to: string, atMs: number): readonly Person[] {
  if (to === 'everyone') return people;
  const onCall = rota && onCallAt(rota, timezone, atMs);
  const id = to === 'on-call' ? onCall?.person : to === 'next-on-call' ? onCall?.next : to;
  return people.filter((person) => person.id === id);
}

/** By what a person is reached, as the site is set up. */
export function channelsOf({ paging }: Site, { email, webhook }: Person): readonly Channel[] {
  return [
    ...(email !== undefined && paging?.smtp !== undefined ? (['email'] as const) : []),
    ...(webhook !== undefined && paging?.webhook !== undefined ? (['webhook'] as const) : []),
  ];
}
