import type { TakeupNow } from '../../../agent/contract/messages.js';
import type { Clock } from '../../../agent/process/clock.js';
import type { Site } from '../../../agent/site/site.js';
import { formatTime } from '../../../agent/units/time.js';
import type { AskAgent } from '../live/requests.js';
import { type CardEntry, type EntrySlot, type KeptCard, blankValue, notOpen } from '../logic/card.js';
import type { MissingOnCard } from '../logic/card-answers.js';
import { entryId, isRecorded, missingOnCard, nextEntry, wantedEntries } from '../logic/card-entries.js';
import { ProblemError } from '../logic/problem.js';
import { standingOfNow } from '../logic/standing.js';
import type { Cards } from './cards.js';

export interface CardDeskParts {
  readonly site: Pick<Site, 'conveyors'>;
  readonly cards: Pick<Cards, 'find' | 'change'>;
  /** Asks the agent to do something, under a name by which it knows the same request again. */
  readonly request: AskAgent;
  /** The latest picture of a take-up while the agent is heard. */
  readonly heardOf: (conveyor: string, takeup: string) => TakeupNow | undefined;
  readonly tellWork: (conveyor: string) => void;
  readonly clock: Clock;
}

export interface Closing {
  readonly card: KeptCard;
  readonly missing: readonly MissingOnCard[];
  readonly refused: readonly string[];
}

/** Writes what a card says into the service log. Each entry is on the disk as sent before it is sent, and as recorded before the next. */
export class CardDesk {
  /** One thing at a time is done with a card: two people who close it at once close it once. */
  private readonly turns = new Map<number, Promise<unknown>>();

  constructor(private readonly parts: CardDeskParts) {}

  /**
   * The work begins: a service is opened on the take-up, so that its alarms rest, unless one is open already; and how the carriage stands
   * is kept, to be held against where it settles afterwards.
   *
   * @returns why it could not be written down; undefined where it was
   */
  begin(number: number, by: string): Promise<string | undefined> {
    return this.inTurn(number, async () => {
      const { cards, clock, heardOf } = this.parts;
      const at = formatTime(clock.nowMs());
      const card = await cards.change(number, (now) => {
        if (now.state !== 'open') throw new ProblemError('card-not-open', notOpen(now));
        return now.begun === undefined ? this.withStanding({ ...now, begun: { by, at }, version: now.version + 1 }, at) : now;
      });
      const { conveyor, takeup, begun } = card;
      const own = card.entries.findLast(({ slot }) => slot === 'opened');
      if (isRecorded(card, 'opened') || begun === undefined) return undefined;
      const opened = heardOf(conveyor, takeup)?.service ?? null;
      if (own === undefined && opened !== null) return undefined;
      const id = entryId(card, 'opened');
      const entry = { time: begun.at, conveyor, takeup, kind: 'service-opened', id, by: begun.by };
      return this.send(number, own?.state === 'in-doubt' ? own : { slot: 'opened', id, entry, state: 'in-doubt' });
    });
  }

  /** Closes a card as far as it goes: what is missing, and what was refused or not answered to, leaves it open. */
  close(number: number, by: string): Promise<Closing> {
    return this.inTurn(number, async () => {
      const { cards, clock } = this.parts;
      const found = cards.find(number);
      if (found === undefined) throw new ProblemError('not-found', `There is no job card ${String(number)}.`);
      if (found.state === 'closed') return { card: found, missing: [], refused: [] };
      if (found.state !== 'open') throw new ProblemError('card-not-open', notOpen(found));
      const missing = missingOnCard(found, clock.nowMs());
      if (missing.length > 0) return { card: found, missing, refused: [] };
      const closing = { by, at: formatTime(clock.nowMs()) };
      let card = await cards.change(number, (now) => {
        const began = now.begun?.at ?? textOf(blankValue(now, 'locked-at')) ?? textOf(blankValue(now, 'done-at')) ?? closing.at;
        return now.closing === undefined ? this.withStanding({ ...now, closing, version: now.version + 1 }, began) : now;
      });
      const refused = new Map<EntrySlot, string>();
      for (;;) {
        const next = this.next(card, new Set(refused.keys()), by);
        if (next === undefined) break;
        const why = await this.send(number, next);
        card = cards.find(number) ?? card;
        if (why === undefined) continue;
        refused.set(next.slot, why);
        if (card.entries.some(({ id, state }) => id === next.id && state === 'in-doubt')) break;
      }
      if (refused.size > 0) return { card, missing: [], refused: [...refused.values()] };
      return { card: await this.end(number, by), missing: [], refused: [] };
    });
  }

  private next(card: KeptCard, tried: ReadonlySet<EntrySlot>, by: string): CardEntry | undefined {
    const nowMs = this.parts.clock.nowMs();
    const context = { nowMs, closingAt: card.closing?.at ?? formatTime(nowMs), leadKnown: this.leadOf(card) !== undefined };
    return nextEntry(card, wantedEntries(card, context), tried, by, formatTime(nowMs));
  }

  private async end(number: number, by: string): Promise<KeptCard> {
    const { cards, clock, heardOf } = this.parts;
    return cards.change(number, (card) => {
      const runHours = heardOf(card.conveyor, card.takeup)?.runHours;
      const ended = { by, at: formatTime(clock.nowMs()) };
      return {
        ...card,
        state: 'closed',
        version: card.version + 1,
        ended,
        ...(runHours === undefined ? {} : { restartRunHours: runHours }),
      };
    });
  }

  /** @returns why it is not recorded; undefined where it is */
  private async send(number: number, entry: CardEntry): Promise<string | undefined> {
    const { cards, request, tellWork } = this.parts;
    const card = await cards.change(number, (now) => withEntry(now, entry));
    const by = typeof entry.entry['by'] === 'string' ? entry.entry['by'] : card.made.by;
    const outcome = await request('service-entry', by, { entry: entry.entry }, entry.id);
    const what = SLOT_WORDS[entry.slot];
    if (outcome.kind === 'broker-away') return `${what} is not sent: the broker cannot be reached. Try again when the connection is back.`;
    if (outcome.kind === 'no-answer') return `${what} may be recorded or not: the agent does not answer. Try again, which does no harm.`;
    const { ok, message } = outcome.answer;
    await cards.change(number, (now) =>
      withEntry(now, ok ? { ...entry, state: 'recorded' } : { ...entry, state: 'refused', why: message }),
    );
    tellWork(card.conveyor);
    return ok ? undefined : `${what} is not recorded: ${message}${/[.!?]$/u.test(message) ? '' : '.'}`;
  }

  /** The card with how the carriage stood before the work began, where the picture shows that still. */
  private withStanding(card: KeptCard, beganAt: string): KeptCard {
    const before = standingOfNow(this.parts.heardOf(card.conveyor, card.takeup));
    return before === undefined || Date.parse(before.asOf) > Date.parse(beganAt) ? card : { ...card, before };
  }

  private leadOf({ conveyor, takeup }: KeptCard): number | undefined {
    return this.parts.site.conveyors.find(({ id }) => id === conveyor)?.takeups.find(({ id }) => id === takeup)?.nutLeadMm;
  }

  private inTurn<T>(number: number, work: () => Promise<T>): Promise<T> {
    const done = (this.turns.get(number) ?? Promise.resolve()).then(work);
    const settled = done.catch(() => undefined);
    this.turns.set(number, settled);
    void settled.then(() => {
      if (this.turns.get(number) === settled) this.turns.delete(number);
    });
    return done;
  }
}

/** In the place of the same one, where it stands on the card. */
function withEntry(card: KeptCard, entry: CardEntry): KeptCard {
  const there = card.entries.some(({ id }) => id === entry.id);
  const entries = there ? card.entries.map((one) => (one.id === entry.id ? entry : one)) : [...card.entries, entry];
  return { ...card, entries, version: card.version + 1 };
}

const SLOT_WORDS: Readonly<Record<EntrySlot, string>> = {
  opened: 'The beginning of the service',
  removed: 'The chain taken out',
  'nut-left': 'The left nut',
  'nut-right': 'The right nut',
  inspected: 'The inspection',
  lubricated: 'The lubrication',
  note: 'The note',
  closed: 'The end of the service',
};

function textOf(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}
