import { Type } from 'typebox';
import type { Site } from '../../../agent/site/site.js';
import type { HistoryReader } from '../lazy-history.js';
import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import type { MinutesAnswer, SeriesAnswer } from '../logic/answers.js';
import { SeriesDesk, type ReadingSeriesOf } from '../series-desk.js';
import { ProblemError } from '../logic/problem.js';
import { takeupKey } from '../logic/takeup-key.js';
import type { App } from '../plugins/app.js';

export interface TakeupRoutesParts {
  readonly history: HistoryReader;
  readonly site: Site;
  /** Keys of the take-ups of the site. */
  readonly known: ReadonlySet<string>;
  readonly readingSeries: ReadingSeriesOf;
}

const PLACE = Type.Object({ conveyor: Type.String(), takeup: Type.String() });
const DATE = Type.String({ pattern: '^\\d{4}-\\d{2}-\\d{2}$' });
const WHOLE = Type.String({ pattern: '^\\d{1,15}$' });

/** As many points as a wide screen has pixels. */
const MOST_POINTS = 4000;
const USUAL_POINTS = 1000;
const LONGEST_DAYS = 3660;

/** The past of one take-up. */
export function takeupRoutes(app: App, { history, site, known, readingSeries }: TakeupRoutesParts): void {
  const series = new SeriesDesk(history, site, readingSeries);
  const mustKnow = (conveyor: string, takeup: string): void => {
    if (!known.has(takeupKey(conveyor, takeup)))
      throw new ProblemError('not-found', `The site has no take-up ${takeup} on a conveyor ${conveyor}.`);
  };

  app.get(
    '/api/takeups/:conveyor/:takeup/days',
    { config: { permission: 'see' }, schema: { params: PLACE, querystring: Type.Object({ from: DATE, to: DATE }) } },
    async (request) => {
      const { conveyor, takeup } = request.params;
      const { from, to } = request.query;
      mustKnow(conveyor, takeup);
      const [first, last] = [dayNumberOf(from), dayNumberOf(to)];
      if (dateOfDayNumber(first) !== from || dateOfDayNumber(last) !== to) throw new ProblemError('bad-request', 'There is no such date.');
      if (last < first) throw new ProblemError('bad-request', '`from` must not be after `to`.');
      if (last - first > LONGEST_DAYS) throw new ProblemError('bad-request', 'Ask for ten years at most.');
      return history.settledDays(conveyor, takeup, from, to);
    },
  );

  app.get(
    '/api/takeups/:conveyor/:takeup/minutes',
    {
      config: { permission: 'see' },
      schema: { params: PLACE, querystring: Type.Object({ fromMs: WHOLE, toMs: WHOLE, points: Type.Optional(WHOLE) }) },
    },
    async (request): Promise<MinutesAnswer> => {
      const { conveyor, takeup } = request.params;
      mustKnow(conveyor, takeup);
      const [fromMs, toMs] = [Number(request.query.fromMs), Number(request.query.toMs)];
      if (toMs <= fromMs) throw new ProblemError('bad-request', '`toMs` must be after `fromMs`.');
      const maxPoints = Math.min(Math.max(Number(request.query.points ?? USUAL_POINTS), 2), MOST_POINTS);
      return history.minutes({ conveyor, takeup, fromMs, toMs, maxPoints });
    },
  );

  app.get(
    '/api/takeups/:conveyor/:takeup/series',
    {
      config: { permission: 'see' },
      schema: { params: PLACE, querystring: Type.Object({ from: WHOLE, to: WHOLE, px: Type.Optional(WHOLE) }) },
    },
    async (request): Promise<SeriesAnswer> => {
      const { conveyor, takeup } = request.params;
      mustKnow(conveyor, takeup);
      const [fromMs, toMs] = [Number(request.query.from), Number(request.query.to)];
      if (toMs <= fromMs) throw new ProblemError('bad-request', '`to` must be after `from`.');
      const px = Math.min(Math.max(Number(request.query.px ?? USUAL_POINTS), 2), MOST_POINTS);
      return series.answer({ conveyor, takeup, fromMs, toMs, px });
    },
  );
}
