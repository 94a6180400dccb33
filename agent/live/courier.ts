import { undeliveredKey } from '../flow/page/page-desk.js';
import type { Clock } from '../process/clock.js';
import type { Log } from '../process/log.js';
import type { Site } from '../site/site.js';
import type { OutboxMessage, PageMessage, PageStore } from '../store/page-outbox.js';
import { letterOf } from './page-letters.js';
import type { PagePosts } from '../io/page-posts.js';

/** Pauses after the first, second … try; the last one is repeated. */
const PAUSES_MS = [5, 10, 30, 60, 120, 300, 600].map((seconds) => seconds * 1000);
/** A page that could not be delivered for so long is nobody's news any longer. */
const GIVE_UP_MS = 24 * 3_600_000;

/** At the end, what is under way is waited for so long. */
const FAREWELL_MS = 3000;

interface Waiting {
  readonly message: PageMessage;
  tries: number;
  nextMs: number;
}

/** Takes what is in the outbox to the channels, again and again with growing pauses, until it is delivered or given up. */
export class Courier {
  private readonly waiting = new Map<string, Waiting>();
  private readonly underWay = new Map<string, Promise<void>>();
  /** Calls and people that were reached by one channel at least. */
  private readonly reached = new Set<string>();
  /** What ended lately: the outbox may not have had it yet. */
  private readonly ended = new Map<string, () => Promise<void>>();
  private open = true;

  constructor(
    private readonly site: Site,
    private readonly pages: PageStore,
    private readonly posts: PagePosts,
    private readonly clock: Clock,
    private readonly log: Log,
    /** Something is over: nobody may have been reached, and the outbox has room. */
    private readonly onSettled: (message: PageMessage, reached: boolean) => void,
  ) {}

  /** When `deliver` has something to do next. */
  get dueMs(): number {
    const idle = [...this.waiting.values()].filter(({ message }) => !this.underWay.has(message.id));
    return idle.reduce((earliest, { nextMs }) => Math.min(earliest, nextMs), Infinity);
  }

  /** What waited when the last run ended. */
  resume(messages: readonly OutboxMessage[]): void {
    // The pause of before says nothing of now: a start is a reason to try.
    for (const message of messages) this.waiting.set(message.id, { message, tries: message.tries, nextMs: this.clock.nowMs() });
  }

  add(messages: readonly PageMessage[]): void {
    for (const message of messages) {
      if (!this.waiting.has(message.id)) this.waiting.set(message.id, { message, tries: 0, nextMs: message.madeMs });
    }
  }

  /** Messages are in the outbox from now on: of those that ended before they were, it is told now. */
  async written(messages: readonly PageMessage[]): Promise<void> {
    for (const { id } of messages) await this.ended.get(id)?.();
    this.ended.clear();
  }

  /** Whether a page of a call waits for somebody on a channel. */
  isWaiting(call: string, person: string, channel: string): boolean {
    return [...this.waiting.values()].some(
      ({ message }) => message.call === call && message.person === person && message.channel === channel,
    );
  }

  /** Whom nothing of a call has reached yet, though it is on its way. */
  undelivered(): ReadonlySet<string> {
    const keys = [...this.waiting.values()].map(({ message }) => undeliveredKey(message.call, message.person));
    return new Set(keys.filter((key) => !this.reached.has(key)));
  }

  /** Sets off what is due. It is not waited for: a slow server holds up nobody else's page. */
  deliver(): void {
    const nowMs = this.clock.nowMs();
    for (const one of this.waiting.values()) {
      const { id } = one.message;
      // Never further ahead than its pause, whatever became of the clock.
      if (!this.open || one.nextMs > nowMs || this.underWay.has(id)) continue;
      this.underWay.set(
        id,
        this.attempt(one).finally(() => this.underWay.delete(id)),
      );
    }
  }

  /** Waits for what is under way. */
  async settled(): Promise<void> {
    while (this.underWay.size > 0) await Promise.all(this.underWay.values());
  }

  /** Begins nothing new, and waits a little for what is under way: what is not done is sent again after the next start, as the same page. */
  async stop(): Promise<void> {
    this.open = false;
    let timer: NodeJS.Timeout | undefined;
    const enough = new Promise<void>((resolve) => (timer = setTimeout(resolve, FAREWELL_MS)));
    await Promise.race([this.settled(), enough]);
    clearTimeout(timer);
  }

  private async attempt(one: Waiting): Promise<void> {
    const { message } = one;
    const nowMs = this.clock.nowMs();
    const post = this.posts[message.channel];
    const posted = post
      ? await post.send(letterOf(message, nowMs, this.site))
      : ({ ok: false, forGood: true, said: `the site has no ${message.channel} any more` } as const);
    one.tries++;
    const atMs = this.clock.nowMs();
    if (posted.ok) await this.end(one, 'delivered', atMs, posted.said);
    else if (posted.forGood) await this.end(one, 'failed', atMs, posted.said);
    else if (atMs - message.madeMs >= GIVE_UP_MS)
      await this.end(one, 'failed', atMs, `given up after ${String(one.tries)} tries: ${posted.said}`);
    else {
      const pauseMs = PAUSES_MS[Math.min(one.tries, PAUSES_MS.length) - 1] ?? 0;
      one.nextMs = atMs + pauseMs;
      if (one.tries === 1) this.log.warn(`a page to ${message.address} waits: ${posted.said}`);
      await this.pages.retry(message.id, one.tries, one.nextMs, posted.said).catch(() => undefined);
      this.onSettled(message, true);
    }
  }

  private async end(one: Waiting, state: 'delivered' | 'failed', atMs: number, said: string): Promise<void> {
    const { message, tries } = one;
    const { call, person, address } = message;
    if (state === 'delivered') this.log.info(`a page to ${address} was taken: ${said}`);
    else this.log.error(`a page to ${address} is not delivered: ${said}`);
    const settle = (): Promise<void> => this.pages.settle(message.id, state, tries, atMs, said);
    this.ended.set(message.id, settle);
    try {
      await settle();
    } catch (error) {
      this.log.error(`the outbox cannot be written (${String(error)}): after a restart a page to ${address} may come a second time`);
    }
    this.waiting.delete(message.id);
    const key = undeliveredKey(call, person);
    if (state === 'delivered') this.reached.add(key);
    const others = [...this.waiting.values()].some((other) => undeliveredKey(other.message.call, other.message.person) === key);
    this.onSettled(message, state === 'delivered' || others || this.reached.has(key));
  }
}
