import { randomBytes } from 'node:crypto';
import { Type } from 'typebox';
import { formatTime } from '../../../agent/units/time.js';
import type { Site } from '../../../agent/site/site.js';
import type { HistoryReader } from '../lazy-history.js';
import { type Changed, type KeptCard, changeCard, dropCard } from '../logic/card.js';
import { type CardContext, cardAnswer, cardHead } from '../logic/card-answer.js';
import type { CardAnswer, CardChange, CardHead, CloseAnswer } from '../logic/card-answers.js';
import { drawUpCard } from '../logic/draw-up-card.js';
import { planBasis } from '../logic/plan-basis.js';
import { ProblemError } from '../logic/problem.js';
import { serviceLog } from '../logic/service-log.js';
import { standingOfNow } from '../logic/standing.js';
import type { EntryAnswer } from '../logic/work-answers.js';
import type { App } from '../plugins/app.js';
import type { CardDesk } from '../work/card-desk.js';
import type { Cards } from '../work/cards.js';
import { type StockParts, takeStock } from '../work/take-stock.js';
import { placeOf, queryOf } from './plan-routes.js';
import { signedIn } from './session-routes.js';

export interface CardRoutesParts extends StockParts {
  readonly site: Site;
  readonly history: Pick<HistoryReader, 'settledDays' | 'entries'>;
  readonly cards: Cards;
  readonly desk: CardDesk;
  readonly tellWork: (conveyor: string) => void;
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const REQUEST = Type.String({ pattern: '^[A-Za-z0-9._-]{1,64}$' });
const NUMBER = Type.Object({ number: Type.String({ pattern: '^[1-9]\\d{0,8}$' }) });
const JOB = Type.Union([
  Type.Object({ kind: Type.Literal('removal'), pitches: Type.Integer({ minimum: 1, maximum: 1000 }) }, { additionalProperties: false }),
  Type.Object({ kind: Type.Literal('nuts'), to: Type.Enum(['tension', 'balance']) }, { additionalProperties: false }),
]);
const NEW = Type.Object(
  {
    request: REQUEST,
    conveyor: NAME,
    takeup: NAME,
    job: JOB,
    wish: Type.Optional(Type.Record(Type.String(), Type.String({ maxLength: 100 }))),
  },
  { additionalProperties: false },
);
const CHANGE = Type.Object(
  {
    version: Type.Integer({ minimum: 1 }),
    blanks: Type.Optional(Type.Record(Type.String(), Type.Union([Type.String({ maxLength: 4000 }), Type.Number(), Type.Null()]))),
    ticks: Type.Optional(Type.Record(Type.String(), Type.Boolean())),
  },
  { additionalProperties: false },
);
const DROP = Type.Object({ why: Type.String({ minLength: 1, maxLength: 500 }) }, { additionalProperties: false });
const LIST = Type.Object(
  {
    state: Type.Optional(Type.Enum(['open', 'closed', 'dropped'])),
    conveyor: Type.Optional(NAME),
    takeup: Type.Optional(NAME),
  },
  { additionalProperties: false },
);

/** Job cards: drawn up from a plan, worked through, closed into the service log. */
export function cardRoutes(app: App, parts: CardRoutesParts): void {
  const { site, cards, desk, clock, tellWork } = parts;

  app.get('/api/cards', { config: { permission: 'see' }, schema: { querystring: LIST } }, async (request): Promise<readonly CardHead[]> => {
    const { state, conveyor, takeup } = request.query;
    const asked = cards
      .list()
      .filter(
        (card) =>
          (state ?? card.state) === card.state && (conveyor ?? card.conveyor) === card.conveyor && (takeup ?? card.takeup) === card.takeup,
      );
    const log = asked.some((card) => card.state === 'closed') ? await logOrNone() : [];
    return asked.map((card) => cardHead(card, contextOf(card, log)));
  });

  app.get('/api/cards/:number', { config: { permission: 'see' }, schema: { params: NUMBER } }, async (request): Promise<CardAnswer> => {
    return answer(mustFind(Number(request.params.number)));
  });

  app.post('/api/cards', { config: { permission: 'record-work' }, schema: { body: NEW } }, async (request, reply): Promise<CardAnswer> => {
    const by = signedIn(request).name;
    const { request: name, conveyor: conveyorId, takeup: takeupId, job, wish } = request.body;
    const place = placeOf(site, conveyorId, takeupId);
    const query = queryOf(wish ?? {});
    const units = query.units ?? site.units;
    const known = await takeStock(parts, conveyorId, takeupId);
    const drawn = drawUpCard({ ...place, units }, site.name, planBasis(known, query.figures), job, query);
    const again = cards.list().find((card) => card.request === name && card.made.by === by);
    if (!drawn.ok && again === undefined) throw new ProblemError('cannot-be-planned', drawn.refused.join(' '));
    const before = known.heard ? standingOfNow(known.now) : undefined;
    const card =
      again ??
      (await cards.add({
        ...{ key: randomBytes(4).toString('hex'), request: name, conveyor: conveyorId, takeup: takeupId, job, units },
        ...{ state: 'open', version: 1, made: { by, at: formatTime(clock.nowMs()) }, ticks: {}, blanks: {}, entries: [] },
        ...mustBeDrawn(drawn),
        ...(before === undefined ? {} : { before }),
      }));
    if (card.conveyor !== conveyorId || card.takeup !== takeupId || JSON.stringify(card.job) !== JSON.stringify(job))
      throw new ProblemError('bad-request', 'Another card was made under the same request: give this one its own.');
    tellWork(conveyorId);
    return reply.code(201).send(await answer(card));
  });

  app.patch(
    '/api/cards/:number',
    { config: { permission: 'record-work' }, schema: { params: NUMBER, body: CHANGE } },
    async (request): Promise<CardAnswer> => {
      const by = signedIn(request).name;
      // Which blanks and steps there are, the card says.
      const change: CardChange = request.body;
      const card = await cards.change(Number(request.params.number), (kept) => mustChange(changeCard(kept, change, by, clock.nowMs())));
      tellWork(card.conveyor);
      return answer(card);
    },
  );

  app.post(
    '/api/cards/:number/begin',
    { config: { permission: 'record-work' }, schema: { params: NUMBER } },
    async (request): Promise<CardAnswer> => {
      const number = Number(request.params.number);
      const refused = await desk.begin(number, signedIn(request).name);
      tellWork(mustFind(number).conveyor);
      if (refused !== undefined) throw new ProblemError('refused-by-agent', refused);
      return answer(mustFind(number));
    },
  );

  app.post(
    '/api/cards/:number/close',
    { config: { permission: 'record-work' }, schema: { params: NUMBER } },
    async (request): Promise<CloseAnswer> => {
      const { card, missing, refused } = await desk.close(Number(request.params.number), signedIn(request).name);
      tellWork(card.conveyor);
      return { closed: card.state === 'closed', missing, refused, card: await answer(card) };
    },
  );

  app.post(
    '/api/cards/:number/drop',
    { config: { permission: 'record-work' }, schema: { params: NUMBER, body: DROP } },
    async (request): Promise<CardAnswer> => {
      const by = signedIn(request).name;
      const { why } = request.body;
      const card = await cards.change(Number(request.params.number), (kept) => mustChange(dropCard(kept, why, by, clock.nowMs())));
      tellWork(card.conveyor);
      return answer(card);
    },
  );

  async function answer(card: KeptCard): Promise<CardAnswer> {
    return cardAnswer(card, contextOf(card, card.state === 'closed' ? await logOrNone() : []));
  }

  function contextOf(card: KeptCard, log: readonly EntryAnswer[]): CardContext {
    const conveyor = site.conveyors.find(({ id }) => id === card.conveyor);
    const takeup = conveyor?.takeups.find(({ id }) => id === card.takeup);
    return { place: conveyor === undefined || takeup === undefined ? undefined : { conveyor, takeup }, log };
  }

  function mustFind(number: number): KeptCard {
    const card = cards.find(number);
    if (card === undefined) throw new ProblemError('not-found', `There is no job card ${String(number)}.`);
    return card;
  }

  /** A card is shown also while the log cannot be read: then it goes by what it wrote itself. */
  async function logOrNone(): Promise<readonly EntryAnswer[]> {
    try {
      return serviceLog(await parts.history.entries());
    } catch (error) {
      if (error instanceof ProblemError && error.code === 'no-history') return [];
      throw error;
    }
  }
}

function mustChange(changed: Changed): KeptCard {
  if (changed.ok) return changed.card;
  const code = { stale: 'card-stale', 'not-open': 'card-not-open', 'bad-request': 'bad-request' } as const;
  throw new ProblemError(code[changed.why], changed.sentence);
}

function mustBeDrawn(drawn: ReturnType<typeof drawUpCard>): Pick<KeptCard, 'card' | 'planned' | 'basis'> {
  if (!drawn.ok) throw new ProblemError('cannot-be-planned', drawn.refused.join(' '));
  const { card, planned, basis } = drawn;
  return { card, planned, basis };
}
