import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readServiceEntry } from '../../../../agent/contract/parse-service-entry.js';
import { applyCorrections } from '../../../../agent/contract/service-entry-corrections.js';
import type { WorkEntry } from '../../../../agent/contract/service-entry.js';
import type { AskAgent } from '../../../../web/server/live/requests.js';
import { type KeptCard, changeCard } from '../../../../web/server/logic/card.js';
import type { CardChange } from '../../../../web/server/logic/card-answers.js';
import { CardDesk } from '../../../../web/server/work/card-desk.js';
import { cardFor, CardsInMemory } from '../../a-card.js';
import { siteWith } from '../../a-site.js';

const SITE = siteWith(1);
/** The lead of the thread is not known there, so lengths are what is written down. */
const DONE: CardChange['blanks'] = {
  ...{ 'done-pitches': 4, 'done-rock': 'ok', 'done-restraint-nuts': 'out', 'done-spring-left': 250, 'done-spring-right': 251 },
  ...{ 'locked-by': 'Kari', 'done-lubricated': 'yes' },
};

/** What becomes of what is sent to the agent. */
type Fate = 'taken' | 'refused' | 'answer-lost' | 'never-arrived';

/** An agent that keeps entries by their names as the store does, and does with each thing sent what fate says. */
class Agent {
  readonly log = new Map<string, Readonly<Record<string, unknown>>>();

  constructor(private readonly fates: Fate[]) {}

  readonly ask: AskAgent = (_verb, _by, { entry }, request) => {
    const body = entry as Readonly<Record<string, unknown>>;
    const fate = this.fates.shift() ?? 'taken';
    if (fate === 'never-arrived') return Promise.resolve({ kind: 'no-answer' });
    const answer = (ok: boolean) =>
      ({ kind: 'answered', answer: { request: request ?? '', ok, message: ok ? 'recorded' : 'it is not so' } }) as const;
    const known = this.log.get(String(body['id']));
    if (known !== undefined && JSON.stringify(known) !== JSON.stringify(body)) return Promise.resolve(answer(false));
    if (known === undefined && fate === 'refused') return Promise.resolve(answer(false));
    this.log.set(String(body['id']), body);
    return Promise.resolve(fate === 'answer-lost' ? { kind: 'no-answer' } : answer(true));
  };

  /** What stands in the service log when all is said. */
  standing(): readonly WorkEntry[] {
    const read = [...this.log.values()].map((body) => readServiceEntry(body));
    return applyCorrections(read.map((one) => (one.ok ? one.entry : fail(one.message)))).entries;
  }
}

function fail(message: string): never {
  throw new Error(message);
}

class Bench {
  private nowMs = Date.parse('2026-03-02T09:00:00Z');
  readonly cards = new CardsInMemory(cardFor(SITE));
  readonly agent: Agent;
  readonly desk: CardDesk;

  constructor(fates: readonly Fate[] = []) {
    this.agent = new Agent([...fates]);
    this.desk = new CardDesk({
      ...{ site: SITE, cards: this.cards, request: this.agent.ask, heardOf: () => undefined, tellWork: () => undefined },
      clock: { nowMs: () => (this.nowMs += 1000) },
    });
  }

  get card(): KeptCard {
    return this.cards.find(1) ?? fail('the card is there');
  }

  async write(blanks: CardChange['blanks'] = {}): Promise<void> {
    const ticks = { 'guards-back': true, 'restraint-nuts-out': true };
    await this.cards.change(1, (card) => {
      const changed = changeCard(card, { version: card.version, blanks, ticks }, 'kari', this.nowMs);
      return changed.ok ? changed.card : fail(changed.sentence);
    });
  }
}

describe('a card whose every answer may be lost', () => {
  it('writes, in the end, what it says, and each thing once, whatever becomes of what is sent and however it is changed meanwhile', async () => {
    const fate = fc.constantFrom<Fate>('taken', 'taken', 'refused', 'answer-lost', 'never-arrived');
    const edit = fc.record({
      pitches: fc.constantFrom(0, 2, 4),
      left: fc.constantFrom(null, 240, 250),
      lubricated: fc.constantFrom('yes', 'no'),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(fate, { maxLength: 30 }), fc.array(edit, { maxLength: 5 }), fc.boolean(), async (fates, edits, begins) => {
        const bench = new Bench(fates);
        await bench.write(DONE);
        if (begins) await bench.desk.begin(1, 'kari');
        for (const { pitches, left, lubricated } of edits) {
          if ((await bench.desk.close(1, 'ola')).card.state === 'closed') break;
          await bench.write({ 'done-pitches': pitches, 'done-spring-left': left, 'done-lubricated': lubricated });
        }
        // What fate has in store runs out in the end.
        for (let tries = 0; bench.card.state !== 'closed' && tries < 100; tries++) await bench.desk.close(1, 'kari');
        expect(bench.card.state).toBe('closed');

        const { blanks } = bench.card;
        const standing = bench.agent.standing();
        const kinds = standing.map(({ kind }) => kind);
        const pitches = blanks['done-pitches']?.value;
        expect(standing.filter(({ kind }) => kind === 'chain-removed')).toMatchObject(pitches === 0 ? [] : [{ pitches }]);
        const springs = standing.flatMap((entry) => (entry.kind === 'nut-turned' ? [[entry.side, entry.springMm]] : []));
        const left = blanks['done-spring-left']?.value;
        expect(springs).toEqual([...(left === undefined ? [] : [['left', left]]), ['right', 251]]);
        expect(kinds.filter((kind) => kind === 'lubricated')).toHaveLength(blanks['done-lubricated']?.value === 'yes' ? 1 : 0);
        for (const kind of ['inspected', 'note']) expect(kinds.filter((one) => one === kind)).toHaveLength(1);
        // A service that the card opened it closes; one that it could not open it leaves alone.
        expect(kinds.filter((kind) => kind === 'service-closed')).toHaveLength(kinds.filter((kind) => kind === 'service-opened').length);
      }),
      { numRuns: 150 },
    );
  });
});

describe('beginning the work on a card', () => {
  it('opens one service, however often it is begun', async () => {
    const bench = new Bench(['answer-lost']);
    expect(await bench.desk.begin(1, 'kari')).toContain('may be recorded or not');
    expect(await bench.desk.begin(1, 'ola')).toBeUndefined();
    expect(await bench.desk.begin(1, 'ola')).toBeUndefined();
    expect(bench.agent.standing()).toMatchObject([{ kind: 'service-opened', by: 'kari', takeup: 'tu1' }]);
  });
});
