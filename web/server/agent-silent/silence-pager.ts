import { join } from 'node:path';
import { pageAbout, type PageAbout } from '../../../agent/contract/page-about.js';
import { PageDesk, undeliveredKey, type PageDeskSaved } from '../../../agent/flow/page/page-desk.js';
import type { Channel, NoPageOut, PageOut, UnansweredOut } from '../../../agent/flow/page/page-output.js';
import { delayWords, pageWords } from '../../../agent/flow/page/page-words.js';
import type { PageLetter } from '../../../agent/io/page-letter.js';
import { pagePosts, type PagePosts } from '../../../agent/io/page-posts.js';
import type { Clock } from '../../../agent/process/clock.js';
import { linkSecret } from '../../../agent/process/link-secret.js';
import { readIfThere, writePrivately } from '../../../agent/process/private-file.js';
import { ACK_PATH, signAckLink } from '../../../agent/process/signed-link.js';
import type { Site } from '../../../agent/site/site.js';
import type { PageNote } from '../../../agent/store/page-outbox.js';
import type { PagedMessage, PagingKnown } from '../logic/alarm-paging.js';
import type { SilenceEvent } from '../logic/own-alarm.js';

/** A page that waits for its channel. */
interface Waiting {
  readonly letter: PageLetter;
  readonly channel: Channel;
  readonly call: string;
  readonly person: string;
  /** Left out by earlier versions. */
  readonly about?: PageAbout;
  tries: number;
  nextMs: number;
  said?: string;
}

interface Kept {
  readonly version: 1;
  /** So many transitions of the alarm have been taken. */
  readonly taken: number;
  readonly desk: PageDeskSaved;
  readonly waiting: readonly Waiting[];
  /** What became of the last pages, and why the last were not made; left out by earlier versions. */
  readonly ended?: readonly PagedMessage[];
  readonly notes?: readonly PageNote[];
}

export interface SilencePagerOptions {
  readonly site: Site;
  readonly dataDir: string;
  readonly clock: Clock;
  readonly log: (line: string) => void;
  /** Makes it an alarm, on the disk, that nobody took the page, or ends it; the same again is harmless. */
  readonly tellUnanswered: (said: UnansweredOut) => Promise<void>;
  /** Default: those of the site. */
  readonly posts?: PagePosts;
}

const PAUSE_MS = 30_000;
const GIVE_UP_MS = 24 * 3_600_000;
/** So many pages that are over, and reasons for none, are kept to be shown. */
const KEPT = 50;

/**
 * Pages people when the agent is silent, which the agent cannot: the same pure step over the one alarm of the web server, with channels
 * of its own. Its few pages are kept in `<data>/web/agent-silent-pages.json`, written before any is sent.
 */
export class SilencePager {
  private taken: number;
  private readonly desk: PageDesk;
  private waiting: Waiting[];
  private ended: readonly PagedMessage[];
  private notes: readonly PageNote[];
  private working: Promise<void> = Promise.resolve();

  private constructor(
    private readonly options: SilencePagerOptions,
    private readonly posts: PagePosts,
    private readonly secret: Uint8Array,
    kept: Kept | undefined,
    past: number,
  ) {
    this.taken = kept?.taken ?? past;
    this.desk = new PageDesk(options.site, kept?.desk);
    this.waiting = [...(kept?.waiting ?? [])];
    this.ended = kept?.ended ?? [];
    this.notes = kept?.notes ?? [];
  }

  /** @param past - transitions that there are: at the first start they are old news */
  static async open(options: SilencePagerOptions, past: number): Promise<SilencePager> {
    const { site, dataDir, clock } = options;
    const text = (await readIfThere(pathIn(dataDir)))?.toString('utf8');
    const posts = options.posts ?? pagePosts(site.paging, dataDir, clock);
    return new SilencePager(options, posts, await linkSecret(dataDir), text === undefined ? undefined : keptOf(text), past);
  }

  /** Does what is due. @param events - all transitions of the alarm, in order */
  wake(events: readonly SilenceEvent[]): Promise<void> {
    this.working = this.working.then(() =>
      this.work(events).catch((error: unknown) => {
        this.options.log(`web: the page about the silent agent: ${error instanceof Error ? error.message : String(error)}`);
      }),
    );
    return this.working;
  }

  /** What is known of these pages, for whoever shows it. */
  get known(): PagingKnown {
    return {
      calls: this.desk.save().calls,
      messages: [...this.ended, ...this.waiting.map((one) => messageOf(one, 'waiting'))],
      notes: this.notes,
    };
  }

  private async work(events: readonly SilenceEvent[]): Promise<void> {
    const nowMs = this.options.clock.nowMs();
    const fresh = events.slice(this.taken);
    const undelivered = new Set(this.waiting.map(({ call, person }) => undeliveredKey(call, person)));
    const outputs = [...fresh.flatMap((event) => this.desk.event(event, nowMs)), ...this.desk.pass(nowMs, undelivered)];
    this.taken = Math.max(this.taken, events.length);
    for (const output of outputs) {
      if (output.kind === 'page') this.waiting.push(...this.compose(output));
      // Told before it is kept that it was: killed in between, it is told again, which changes nothing.
      else if (output.kind === 'unanswered') await this.tellUnanswered(output);
      else this.noteNone(output);
    }
    if (fresh.length > 0 || outputs.length > 0) await this.save();
    for (const one of this.waiting.filter(({ nextMs }) => nextMs <= nowMs)) await this.send(one);
  }

  private async tellUnanswered(said: UnansweredOut): Promise<void> {
    if (said.up) this.options.log('web: nobody has answered the page about the silent agent');
    await this.options.tellUnanswered(said);
  }

  private noteNone({ reason, timeMs, place, call, person }: NoPageOut): void {
    // Of that nobody answered nobody is paged, by design: that is no news.
    if (reason !== 'about-a-page') this.options.log(`web: no page about the silent agent: ${reason}`);
    const note = { timeMs, reason, ...place, ...(call === undefined ? {} : { call }), ...(person === undefined ? {} : { person }) };
    this.notes = [...this.notes, note].slice(-KEPT);
  }

  private compose(page: PageOut): readonly Waiting[] {
    const { site } = this.options;
    const person = site.people.find(({ id }) => id === page.person);
    const { subject, short, text } = pageWords(page, site, ({ alarm, sinceMs }) => {
      if (site.paging?.linkBase === undefined) return undefined;
      const grant = { alarm, sinceMs, person: page.person, expiresMs: page.madeMs + site.paging.linkMs };
      return `${site.paging.linkBase}${ACK_PATH}${signAckLink(grant, this.secret)}`;
    });
    return page.channels.map((channel) => ({
      letter: {
        ...{ id: `${page.id}/${channel}`, address: (channel === 'email' ? person?.email : person?.webhook) ?? '', madeMs: page.madeMs },
        ...{ urgent: false, subject, text, detail: { kind: 'page', short, site: site.id, call: page.call, round: page.round } },
      },
      ...{ channel, call: page.call, person: page.person, about: pageAbout(page), tries: 0, nextMs: page.madeMs },
    }));
  }

  private async send(one: Waiting): Promise<void> {
    const { clock, site, log } = this.options;
    const { letter, channel, call, person } = one;
    const delay = delayWords(letter.madeMs, clock.nowMs(), site);
    const posted = (await this.posts[channel]?.send(delay === undefined ? letter : { ...letter, text: `${delay}\n\n${letter.text}` })) ?? {
      ...{ ok: false, forGood: true, said: `the site has no ${channel} any more` },
    };
    one.tries++;
    one.said = posted.said;
    one.nextMs = clock.nowMs() + PAUSE_MS;
    const lost = !posted.ok && (posted.forGood || clock.nowMs() - letter.madeMs >= GIVE_UP_MS);
    if (posted.ok || lost) {
      this.waiting = this.waiting.filter((other) => other !== one);
      const message = { ...messageOf(one, posted.ok ? 'delivered' : 'failed'), settledMs: clock.nowMs() };
      this.ended = [...this.ended, message].slice(-KEPT);
    }
    if (lost && !this.waiting.some((other) => other.call === call && other.person === person)) this.desk.failed(call, person);
    if (posted.ok || lost || one.tries === 1)
      log(`web: a page about the silent agent to ${letter.address} ${posted.ok ? 'was taken' : 'was not taken'}: ${posted.said}`);
    await this.save();
  }

  private save(): Promise<void> {
    const { taken, waiting, ended, notes } = this;
    const kept: Kept = { version: 1, taken, desk: this.desk.save(), waiting, ended, notes };
    return writePrivately(pathIn(this.options.dataDir), JSON.stringify(kept));
  }
}

function pathIn(dataDir: string): string {
  return join(dataDir, 'web', 'agent-silent-pages.json');
}

function messageOf({ letter, channel, call, person, about, tries, nextMs, said }: Waiting, state: PagedMessage['state']): PagedMessage {
  return {
    ...{ call, person, channel, madeMs: letter.madeMs, state, tries, nextMs, about: about ?? { alarms: [] } },
    ...(said === undefined ? {} : { said }),
  };
}

/** What is kept is written whole or not at all; a file that is something else all the same is begun anew, for a watch must start. */
function keptOf(text: string): Kept | undefined {
  try {
    const kept = JSON.parse(text) as Partial<Kept> | null;
    return kept?.version === 1 ? (kept as Kept) : undefined;
  } catch {
    return undefined;
  }
}
