import type { Site } from '../../agent/site/site.js';
import type { KeptCard } from '../../web/server/logic/card.js';
import { drawUpCard } from '../../web/server/logic/draw-up-card.js';
import { readPlanQuery } from '../../web/server/logic/plan-query.js';
import { ProblemError } from '../../web/server/logic/problem.js';

/** A card for four pitches out at the first take-up of a site, as Kari made it; a test says what is different. */
export function cardFor(site: Site, different: Partial<KeptCard> = {}): KeptCard {
  const [conveyor] = site.conveyors;
  const [takeup] = conveyor?.takeups ?? [];
  const query = readPlanQuery({});
  if (conveyor === undefined || takeup === undefined || !query.ok) throw new Error('the site has a take-up');
  const figures = { positionMm: 205, elongationPct: 0.4, springLeftMm: 285, springRightMm: 285 };
  const basis = { source: 'live', asOf: null, ageMs: 0, sentence: '', figures, given: [], warnings: [] } as const;
  const drawn = drawUpCard({ conveyor, takeup, units: 'metric' }, site.name, basis, { kind: 'removal', pitches: 4 }, query.query);
  if (!drawn.ok) throw new Error(drawn.refused.join(' '));
  return {
    ...{ number: 1, key: 'abcd', request: 'r', conveyor: conveyor.id, takeup: takeup.id, job: { kind: 'removal', pitches: 4 } },
    ...{ units: 'metric', state: 'open', version: 1, made: { by: 'kari', at: '2026-03-02T05:00:00Z' } },
    ...{ card: drawn.card, planned: drawn.planned, basis: drawn.basis, ticks: {}, blanks: {}, entries: [] },
    ...different,
  };
}

/** Cards that are kept nowhere. */
export class CardsInMemory {
  private readonly cards: Map<number, KeptCard>;

  constructor(...cards: readonly KeptCard[]) {
    this.cards = new Map(cards.map((card) => [card.number, card]));
  }

  readonly list = (): readonly KeptCard[] => [...this.cards.values()];

  readonly find = (number: number): KeptCard | undefined => this.cards.get(number);

  readonly change = (number: number, make: (card: KeptCard) => KeptCard): Promise<KeptCard> => {
    const card = this.cards.get(number);
    if (card === undefined) return Promise.reject(new ProblemError('not-found', 'no such card'));
    const changed = make(card);
    this.cards.set(number, changed);
    return Promise.resolve(changed);
  };
}
