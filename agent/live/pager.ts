import type { NoPageOut, PageOut, PageOutput, UnansweredOut } from '../flow/page/page-output.js';
import { PageDesk, type PageDeskSaved } from '../flow/page/page-desk.js';
import type { Clock } from '../process/clock.js';
import { linkSecret } from '../process/link-secret.js';
import type { Log } from '../process/log.js';
import type { Site } from '../site/site.js';
import type { AlarmEvent } from '../store/history.js';
import type { PageMessage, PageNote, PageStore } from '../store/page-outbox.js';
import { Courier } from './courier.js';
import { messagesOf } from './page-letters.js';
import { pagePosts, type PagePosts } from '../io/page-posts.js';

export interface PagerOptions {
  readonly site: Site;
  readonly pages: PageStore;
  readonly dataDir: string;
  readonly clock: Clock;
  readonly log: Log;
  /** Makes it an alarm, durably, that nobody took a page, or ends it; the same one again is harmless. */
  readonly tellUnanswered: (said: UnansweredOut) => Promise<void>;
  /** Default: those of the site. */
  readonly posts?: PagePosts;
}

/** Not to be woken later than this, however the clock is set meanwhile. */
const LONGEST_SLEEP_MS = 15_000;
/** The store was not ready for what is due: that is tried again after so long. */
const TRY_AGAIN_MS = 1000;
/** So many events are remembered, for the store may show again what came directly while it was unwell. */
const REMEMBERED = 20_000;

/**
 * Pages people about alarms. It reads the alarm events from the store, where each stands before anybody hears of it, and writes how far it
 * has read, where every call stands, and the pages themselves in one transaction: whenever the process is killed, nothing is lost and
 * nothing is paged twice. Only then does the courier take them out.
 */
export class Pager {
  private eventNr = 0;
  private readonly desk: PageDesk;
  private readonly courier: Courier;
  private readonly handled = new Set<string>();
  /** Events that came directly; the store has them too unless it is unwell. */
  private readonly direct: AlarmEvent[] = [];
  /** What could not be written yet. */
  private unwritten: { messages: PageMessage[]; notes: PageNote[] } = { messages: [], notes: [] };
  private readonly untold: UnansweredOut[] = [];
  private unsaved = false;
  private working: Promise<void> = Promise.resolve();
  private timer: NodeJS.Timeout | undefined;
  private open = true;

  private constructor(
    private readonly options: PagerOptions,
    private readonly secret: Uint8Array,
    saved: PageDeskSaved | undefined,
  ) {
    const { site, pages, dataDir, clock, log } = options;
    this.desk = new PageDesk(site, saved);
    this.courier = new Courier(site, pages, options.posts ?? pagePosts(site.paging, dataDir, clock), clock, log, (message, reached) => {
      if (!reached) this.desk.failed(message.call, message.person);
      void this.wake();
    });
  }

  /**
   * Takes up where the last run stopped; the first begins with the alarms to come.
   *
   * @throws TakelineFault where the store or the secret of links cannot be used
   */
  static async open(options: PagerOptions): Promise<Pager> {
    const { pages, dataDir } = options;
    const kept = await pages.load();
    const pager = new Pager(options, await linkSecret(dataDir), kept && (JSON.parse(kept.state) as PageDeskSaved));
    pager.eventNr = kept?.eventNr ?? (await pages.lastEventNr());
    if (kept === undefined)
      await pages.write({ eventNr: pager.eventNr, state: JSON.stringify(pager.desk.save()), messages: [], notes: [] });
    pager.courier.resume(await pages.waiting());
    return pager;
  }

  /** Alarm events, written or not: the store may be unwell. */
  take(events: readonly AlarmEvent[]): void {
    this.direct.push(...events);
    if (events.length > 0) void this.wake();
  }

  /** Does what is due by the clock. Called by itself; a test that hands in a clock calls it. */
  wake(): Promise<void> {
    this.working = this.working.then(async () => {
      if (!this.open) return;
      clearTimeout(this.timer);
      let retryMs = Infinity;
      try {
        await this.work();
      } catch (error) {
        retryMs = this.options.clock.nowMs() + TRY_AGAIN_MS;
        this.options.log.error(`paging: ${error instanceof Error ? error.message : String(error)}; trying again every second`);
      }
      this.courier.deliver();
      this.sleep(retryMs);
    });
    return this.working;
  }

  /** Waits for the pages that are under way. */
  settled(): Promise<void> {
    return this.courier.settled();
  }

  /** Begins nothing new, and waits for what is under way. Stopping twice is harmless. */
  async stop(): Promise<void> {
    this.open = false;
    clearTimeout(this.timer);
    await this.working;
    await this.courier.stop();
  }

  private sleep(retryMs: number): void {
    const dueMs = Math.min(this.desk.dueMs, this.courier.dueMs, retryMs);
    if (!this.open || dueMs === Infinity) return;
    const waitMs = Math.min(Math.max(dueMs - this.options.clock.nowMs(), 1), LONGEST_SLEEP_MS);
    this.timer = setTimeout(() => void this.wake(), waitMs);
  }

  private async work(): Promise<void> {
    const outputs: PageOutput[] = [];
    const fresh = await this.readOn();
    for (const event of [...fresh, ...this.direct.splice(0)]) this.handle(event, outputs);
    outputs.push(...this.desk.pass(this.options.clock.nowMs(), this.courier.undelivered()));
    this.unsaved ||= fresh.length > 0 || outputs.length > 0;
    if (!this.unsaved) return;
    const messages = outputs.flatMap((output) => (output.kind === 'page' ? this.compose(output) : []));
    const notes = outputs.flatMap((output) => (output.kind === 'no-page' ? [noteOf(output)] : []));
    this.unwritten = { messages: [...this.unwritten.messages, ...messages], notes: [...this.unwritten.notes, ...notes] };
    this.untold.push(...outputs.filter((output) => output.kind === 'unanswered'));
    try {
      await this.write();
    } finally {
      // With a disk that is full, a page is still better sent than not.
      this.courier.add(messages);
    }
  }

  /** The alarm events that the store has got since; where it cannot be read, those that came directly must do. */
  private async readOn(): Promise<readonly AlarmEvent[]> {
    const events: AlarmEvent[] = [];
    const { pages, log } = this.options;
    try {
      for (let page = await pages.eventsAfter(this.eventNr); page.length > 0; page = await pages.eventsAfter(this.eventNr)) {
        events.push(...page.map(({ event }) => event));
        this.eventNr = page.at(-1)?.nr ?? this.eventNr;
      }
    } catch (error) {
      log.error(`paging: the store cannot be read (${error instanceof Error ? error.message : String(error)})`);
    }
    return events;
  }

  private handle(event: AlarmEvent, outputs: PageOutput[]): void {
    if (this.handled.has(event.id)) return;
    this.handled.add(event.id);
    if (this.handled.size > REMEMBERED) for (const id of [...this.handled].slice(0, REMEMBERED / 2)) this.handled.delete(id);
    outputs.push(...this.desk.event(event, this.options.clock.nowMs()));
  }

  private compose(page: PageOut): readonly PageMessage[] {
    const { site } = this.options;
    const person = site.people.find(({ id }) => id === page.person);
    if (person === undefined) return [];
    return messagesOf(page, site, person, this.secret).filter(
      ({ call, person: who, channel }) => !this.courier.isWaiting(call, who, channel),
    );
  }

  private async write(): Promise<void> {
    const { pages, tellUnanswered } = this.options;
    // Told before it is written that it was: killed in between, it is told again, which changes nothing.
    for (let said = this.untold[0]; said !== undefined; said = this.untold[0]) {
      await tellUnanswered(said);
      this.untold.shift();
    }
    const { messages } = this.unwritten;
    await pages.write({ eventNr: this.eventNr, state: JSON.stringify(this.desk.save()), ...this.unwritten });
    this.unwritten = { messages: [], notes: [] };
    this.unsaved = false;
    await this.courier.written(messages);
  }
}

function noteOf({ reason, timeMs, place, call, person }: NoPageOut): PageNote {
  return { timeMs, reason, ...place, ...(call === undefined ? {} : { call }), ...(person === undefined ? {} : { person }) };
}
