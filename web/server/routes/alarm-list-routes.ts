import { Readable } from 'node:stream';
import { Type, type Static } from 'typebox';
import type { AlarmKey } from '../../../agent/flow/alarm-key.js';
import type { AlarmPast, ChangesFilter } from '../alarm-past.js';
import { CHANGES_HEAD, changeRow } from '../logic/alarm-tables.js';
import type { ChangesAnswer } from '../logic/answers.js';
import { readCursor } from '../logic/changes-page.js';
import { CHANGES_QUERY, readChangesQuery } from '../logic/changes-query.js';
import { ProblemError } from '../logic/problem.js';
import { SiteSpans } from '../logic/site-spans.js';
import type { App } from '../plugins/app.js';

export interface AlarmListParts {
  readonly past: AlarmPast;
  readonly siteId: string;
  readonly timezone: string;
  /** Every alarm that there is. */
  readonly keys: readonly AlarmKey[];
}

const strict = { additionalProperties: false };
const FILTER = Type.Object(CHANGES_QUERY, strict);
const PAGE = Type.Object(
  { ...CHANGES_QUERY, limit: Type.Optional(Type.String({ pattern: '^[1-9]\\d{0,2}$' })), before: Type.Optional(Type.String()) },
  strict,
);
const USUAL_LIMIT = 50;

/** The transitions of alarms, page by page and as a file. */
export function alarmListRoutes(app: App, { past, siteId, timezone, keys }: AlarmListParts): void {
  const spans = new SiteSpans(timezone);

  app.get(
    '/api/alarms/changes',
    { config: { permission: 'see' }, schema: { querystring: PAGE } },
    async ({ query }): Promise<ChangesAnswer> => {
      const before = query.before === undefined ? undefined : readCursor(query.before);
      if (query.before !== undefined && before === undefined)
        throw new ProblemError('bad-request', 'Give as `before` what came as `next`.');
      return past.page(filterOf(query), Number(query.limit ?? USUAL_LIMIT), before);
    },
  );

  app.get('/api/alarms/changes.csv', { config: { permission: 'see' }, schema: { querystring: FILTER } }, async ({ query }, reply) => {
    const pages = past.pages(filterOf(query));
    // What goes wrong with the first page is still answered as a problem; later the file ends without its end.
    const first = await pages.next();
    reply.header('content-disposition', `attachment; filename="alarm-changes-${siteId}.csv"`);
    return reply.type('text/csv; charset=utf-8').send(Readable.from(rows(first)));

    async function* rows(page: typeof first): AsyncGenerator<string> {
      yield CHANGES_HEAD;
      for (let one = page; one.done !== true; one = await pages.next()) {
        yield one.value.map((event) => changeRow(event, timezone)).join('');
      }
    }
  });

  function filterOf(query: Static<typeof FILTER>): ChangesFilter {
    const read = readChangesQuery(query, keys, spans);
    if (!read.ok) throw new ProblemError('bad-request', read.why);
    return read.filter;
  }
}
