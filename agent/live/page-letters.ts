import { pageAbout, type PageAbout } from '../contract/page-about.js';
import type { Occurrence } from '../flow/page/occurrence.js';
import type { Channel, PageOut } from '../flow/page/page-output.js';
import { delayWords, pageWords } from '../flow/page/page-words.js';
import type { PageLetter } from '../io/page-letter.js';
import { ACK_PATH, signAckLink } from '../process/signed-link.js';
import type { Person, Site } from '../site/site.js';
import type { PageMessage } from '../store/page-outbox.js';
import { formatTime } from '../units/time.js';

/** So many alarms go along as data; the text says how many more there are. */
const ALARMS = 20;

/** What of a letter is kept in the outbox: all but what is known only when it is sent. */
type Kept = Pick<PageLetter, 'urgent' | 'subject' | 'text' | 'detail'> & { readonly about: PageAbout };

/** A page in words, as it waits in the outbox for each channel. @param secret - what links are signed with */
export function messagesOf(page: PageOut, site: Site, person: Person, secret: Uint8Array): readonly PageMessage[] {
  const linkOf = (alarm: Occurrence): string | undefined => linkTo(alarm, page, site, secret);
  const { subject, short, text } = pageWords(page, site, linkOf);
  const alarms = page.alarms.slice(0, ALARMS).map(({ sinceMs, returned, ...alarm }) => {
    const link = linkOf({ ...alarm, sinceMs, returned });
    return { ...alarm, since: formatTime(sinceMs), returned, ...(link === undefined ? {} : { link }) };
  });
  const detail = {
    ...{ kind: 'page', short, site: site.id, person: { id: person.id, name: person.name }, call: page.call, round: page.round },
    ...{ count: page.alarms.length, alarms },
  };
  const kept: Kept = { urgent: page.alarms[0]?.priority === 'urgent', subject, text, detail, about: pageAbout(page) };
  return page.channels.map((channel) => ({
    ...{ id: `${page.id}/${channel}`, call: page.call, person: person.id, channel, address: addressOf(person, channel) },
    ...{ madeMs: page.madeMs, body: JSON.stringify(kept) },
  }));
}

/** The letter for one try: a late one says so before anything else. */
export function letterOf({ id, address, madeMs, body }: PageMessage, nowMs: number, site: Site): PageLetter {
  const { urgent, subject, text, detail } = JSON.parse(body) as Kept;
  const delay = delayWords(madeMs, nowMs, site);
  return {
    ...{ id, address, madeMs, urgent, subject },
    text: delay === undefined ? text : `${delay}\n\n${text}`,
    detail: { ...detail, delayS: Math.max(0, Math.round((nowMs - madeMs) / 1000)) },
  };
}

/** Where a channel finds a person; a page is made only for channels that the person has. */
export function addressOf(person: Person, channel: Channel): string {
  return (channel === 'email' ? person.email : person.webhook) ?? '';
}

function linkTo(
  { conveyor, takeup, signal, alarm, sinceMs }: Occurrence,
  page: PageOut,
  { paging }: Site,
  secret: Uint8Array,
): string | undefined {
  if (paging?.linkBase === undefined) return undefined;
  const token = signAckLink(
    {
      ...(conveyor === undefined ? {} : { conveyor }),
      ...(takeup === undefined ? {} : { takeup }),
      ...(signal === undefined ? {} : { signal }),
      ...{ alarm, sinceMs, person: page.person, expiresMs: page.madeMs + paging.linkMs },
    },
    secret,
  );
  return `${paging.linkBase}${ACK_PATH}${token}`;
}
