import { Type, type Static } from 'typebox';
import type { Clock } from '../../../agent/process/clock.js';
import type { AlarmPast } from '../alarm-past.js';
import { JUDGED_TABLES, judgedTable } from '../logic/alarm-tables.js';
import { judgedAnswer, judgedSpans, type JudgedAnswer } from '../logic/judged-answer.js';
import { ProblemError } from '../logic/problem.js';
import { readShifts, SiteSpans, SPAN_KINDS, USUAL_SHIFTS } from '../logic/site-spans.js';
import type { App } from '../plugins/app.js';

export interface AlarmJudgingParts {
  readonly past: AlarmPast;
  readonly siteId: string;
  readonly timezone: string;
  readonly clock: Clock;
}

const QUERY = {
  by: Type.Enum([...SPAN_KINDS]),
  /** The span in which this instant lies; default the one that runs. */
  atMs: Type.Optional(Type.String({ pattern: '^\\d{1,14}$' })),
  /** When shifts begin, such as `06:00,14:00,22:00`. */
  shifts: Type.Optional(Type.String({ maxLength: 200 })),
};
const strict = { additionalProperties: false };
const JUDGED = Type.Object(QUERY, strict);
const TABLE = Type.Object({ ...QUERY, table: Type.Enum([...JUDGED_TABLES]) }, strict);

/** An alarm that called at the very end of a span may be over within a minute after it. */
const AFTER_MS = 60_000;

/** How the alarms of a shift, day or month are judged. */
export function alarmJudgingRoutes(app: App, { past, siteId, timezone, clock }: AlarmJudgingParts): void {
  app.get('/api/alarms/judged', { config: { permission: 'see' }, schema: { querystring: JUDGED } }, ({ query }): Promise<JudgedAnswer> => {
    return judged(query);
  });

  app.get('/api/alarms/judged.csv', { config: { permission: 'see' }, schema: { querystring: TABLE } }, async ({ query }, reply) => {
    const text = judgedTable(query.table, await judged(query));
    reply.header('content-disposition', `attachment; filename="alarms-judged-${query.table}-${siteId}.csv"`);
    return reply.type('text/csv; charset=utf-8').send(text);
  });

  async function judged(query: Static<typeof JUDGED>): Promise<JudgedAnswer> {
    const shifts = query.shifts === undefined ? USUAL_SHIFTS : readShifts(query.shifts);
    if (shifts === undefined) throw new ProblemError('bad-request', 'Shifts begin at times of day such as 06:00,14:00,22:00.');
    const nowMs = clock.nowMs();
    const atMs = Number(query.atMs ?? nowMs);
    if (atMs > nowMs) throw new ProblemError('bad-request', 'That lies in the future.');
    const calendar = new SiteSpans(timezone, shifts);
    const spans = judgedSpans(query.by, atMs, calendar);
    const [first, last] = [spans[0], spans.at(-1)];
    if (first === undefined || last === undefined) throw new Error('there is no span to judge');
    const known = await past.transitions(first.fromMs, last.toMs + AFTER_MS);
    const answer = judgedAnswer({ kind: query.by, ...{ timezone, shifts, calendar, spans, nowMs }, ...known });
    if (answer?.figures.fromMs !== last.fromMs)
      throw new ProblemError('bad-request', 'More alarms changed then than can be judged at once: ask for a shorter span.');
    return answer;
  }
}
