import { Type } from 'typebox';
import type { Conveyor, Site, Takeup } from '../../../agent/site/site.js';
import { loopAnswer, noLoopAnswer } from '../logic/loop-answer.js';
import { planAnswer } from '../logic/plan-answer.js';
import type { LoopAnswer, PlanAnswer } from '../logic/plan-answers.js';
import { planBasis } from '../logic/plan-basis.js';
import { type PlanQuery, PLAN_QUERY_NAMES, readPlanQuery } from '../logic/plan-query.js';
import { ProblemError } from '../logic/problem.js';
import type { App } from '../plugins/app.js';
import { type StockParts, takeStock } from '../work/take-stock.js';

export interface PlanRoutesParts extends StockParts {
  readonly site: Site;
}

const PLACE = Type.Object({ conveyor: Type.String(), takeup: Type.String() });
const CONVEYOR = Type.Object({ conveyor: Type.String() });
const TEXT = Type.Optional(Type.String({ maxLength: 100 }));
const QUERY = Type.Object(Object.fromEntries(PLAN_QUERY_NAMES.map((name) => [name, TEXT])), { additionalProperties: false });

/** What may be done at a take-up, and how the tension runs around its loop. Looking changes nothing, so everybody may. */
export function planRoutes(app: App, parts: PlanRoutesParts): void {
  const { site } = parts;

  app.get(
    '/api/takeups/:conveyor/:takeup/plan',
    { config: { permission: 'see' }, schema: { params: PLACE, querystring: QUERY } },
    async (request): Promise<PlanAnswer> => {
      const { conveyor, takeup } = placeOf(site, request.params.conveyor, request.params.takeup);
      const query = queryOf(request.query);
      const known = await takeStock(parts, conveyor.id, takeup.id);
      return planAnswer({ conveyor, takeup, units: query.units ?? site.units }, planBasis(known, query.figures), query);
    },
  );

  app.get(
    '/api/conveyors/:conveyor/loop',
    { config: { permission: 'see' }, schema: { params: CONVEYOR, querystring: QUERY } },
    async (request): Promise<LoopAnswer> => {
      const conveyor = conveyorOf(site, request.params.conveyor);
      const query = queryOf(request.query);
      const units = query.units ?? site.units;
      const [takeup] = conveyor.takeups;
      const known = await takeStock(parts, conveyor.id, takeup?.id ?? '');
      const basis = planBasis(known, query.figures);
      return takeup === undefined ? noLoopAnswer(conveyor, units, basis) : loopAnswer({ conveyor, takeup, units }, basis, query.emptyNPerM);
    },
  );
}

/** The query as it reads, or a problem that names everything that is wrong with it. */
export function queryOf(asked: Readonly<Record<string, string | undefined>>): PlanQuery {
  const read = readPlanQuery(asked);
  if (!read.ok) throw new ProblemError('bad-request', read.faults.join(' '));
  return read.query;
}

/** The take-up that a path names. */
export function placeOf(site: Site, conveyorId: string, takeupId: string): { readonly conveyor: Conveyor; readonly takeup: Takeup } {
  const conveyor = site.conveyors.find(({ id }) => id === conveyorId);
  const takeup = conveyor?.takeups.find(({ id }) => id === takeupId);
  if (conveyor === undefined || takeup === undefined)
    throw new ProblemError('not-found', `The site has no take-up ${takeupId} on a conveyor ${conveyorId}.`);
  return { conveyor, takeup };
}

function conveyorOf(site: Site, id: string): Conveyor {
  const conveyor = site.conveyors.find((one) => one.id === id);
  if (conveyor === undefined) throw new ProblemError('not-found', `The site has no conveyor ${id}.`);
  return conveyor;
}
