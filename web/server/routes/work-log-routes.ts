import { Type } from 'typebox';
import type { Clock } from '../../../agent/process/clock.js';
import type { Site } from '../../../agent/site/site.js';
import { formatTime } from '../../../agent/units/time.js';
import type { HistoryReader } from '../lazy-history.js';
import { InFlight } from '../live/in-flight.js';
import type { AskAgent } from '../live/requests.js';
import { mustBeDone } from '../logic/done-by-agent.js';
import { logAsCsv, logAsJsonLines } from '../logic/log-export.js';
import { withChecks } from '../logic/entry-checks.js';
import { filteredLog } from '../logic/log-query.js';
import { openServices } from '../logic/open-services.js';
import { ProblemError } from '../logic/problem.js';
import { serviceLog } from '../logic/service-log.js';
import type { CloseServiceRequest, CorrectionRequest, EntryAnswer, OpenServiceAnswer } from '../logic/work-answers.js';
import type { App } from '../plugins/app.js';
import { signedIn } from './session-routes.js';

export interface WorkLogRoutesParts {
  readonly site: Site;
  readonly history: Pick<HistoryReader, 'entries' | 'findings'>;
  readonly request: AskAgent;
  readonly tellWork: (conveyor: string) => void;
  readonly clock: Clock;
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const WHOLE = Type.String({ pattern: '^\\d{1,15}$' });
const REQUEST = Type.String({ pattern: '^[A-Za-z0-9._-]{1,64}$' });
const QUERY = Type.Object(
  {
    conveyor: Type.Optional(NAME),
    takeup: Type.Optional(NAME),
    kinds: Type.Optional(NAME),
    by: Type.Optional(NAME),
    fromMs: Type.Optional(WHOLE),
    toMs: Type.Optional(WHOLE),
    state: Type.Optional(Type.Enum(['standing', 'corrected', 'withdrawn'])),
    text: Type.Optional(NAME),
  },
  { additionalProperties: false },
);
const CORRECTION = Type.Object(
  {
    request: REQUEST,
    entry: NAME,
    changes: Type.Optional(Type.Record(Type.String(), Type.Unknown())),
    withdraw: Type.Optional(Type.Literal(true)),
  },
  { additionalProperties: false },
);
const SERVICE = Type.Object({ request: REQUEST, conveyor: NAME, takeup: NAME }, { additionalProperties: false });

/** Fields that say which entry it is: a correction leaves them as they are. */
const NOT_CORRECTED = ['id', 'kind', 'by', 'replaces', 'time', 'withdraw'] as const;

/** The service log of the site: read, taken away as a file, corrected; and the services that are open. */
export function workLogRoutes(app: App, { site, history, request: ask, tellWork, clock }: WorkLogRoutesParts): void {
  const inFlight = new InFlight<void>();

  app.get(
    '/api/entries',
    { config: { permission: 'see' }, schema: { querystring: QUERY } },
    async (request): Promise<readonly EntryAnswer[]> => {
      const log = withChecks(serviceLog(await history.entries()), await history.findings({}), site, clock.nowMs());
      return filteredLog(log, request.query);
    },
  );

  app.get('/api/entries.csv', { config: { permission: 'see' }, schema: { querystring: QUERY } }, async (request, reply) => {
    const csv = logAsCsv(filteredLog(serviceLog(await history.entries()), request.query));
    return reply.type('text/csv; charset=utf-8; header=present').header('content-disposition', asFile('csv')).send(csv);
  });

  app.get('/api/entries.jsonl', { config: { permission: 'see' }, schema: { querystring: QUERY } }, async (request, reply) => {
    const entries = await history.entries();
    const lines = logAsJsonLines(filteredLog(serviceLog(entries), request.query), entries);
    return reply.type('application/x-ndjson; charset=utf-8').header('content-disposition', asFile('jsonl')).send(lines);
  });

  app.post('/api/entries/correct', { config: { permission: 'record-work' }, schema: { body: CORRECTION } }, async (request, reply) => {
    const by = signedIn(request).name;
    const { request: name, entry: id, changes = {}, withdraw }: CorrectionRequest = request.body;
    const fixed = NOT_CORRECTED.find((field) => field in changes);
    if (fixed !== undefined) throw new ProblemError('bad-request', `A correction leaves \`${fixed}\` as it is: write a new entry instead.`);
    if (withdraw === undefined && Object.keys(changes).length === 0)
      throw new ProblemError('bad-request', 'Say what is to be corrected, or that the entry is to be struck out.');
    const entries = await history.entries();
    // Asked for again because the answer was lost: it stands there.
    if (entries.some((one) => one.id === name)) return reply.code(204).send();
    const corrected = serviceLog(entries).find((one) => one.id === id);
    if (corrected === undefined) throw new ProblemError('not-found', 'There is no such entry in the service log.');
    const said = withdraw === true ? { withdraw } : changes;
    const { conveyor } = corrected;
    await once(name, ['correct', by, request.body], () =>
      record(name, by, conveyor, { time: formatTime(clock.nowMs()), conveyor, kind: 'correction', replaces: id, ...said }),
    );
    return reply.code(204).send();
  });

  app.get('/api/services/open', { config: { permission: 'see' } }, async (): Promise<readonly OpenServiceAnswer[]> => {
    return openServices(site, serviceLog(await history.entries()));
  });

  app.post('/api/services/close', { config: { permission: 'record-work' }, schema: { body: SERVICE } }, async (request, reply) => {
    const by = signedIn(request).name;
    const { request: name, conveyor, takeup }: CloseServiceRequest = request.body;
    const entries = await history.entries();
    if (entries.some((one) => one.id === name)) return reply.code(204).send();
    const open = openServices(site, serviceLog(entries)).find((one) => one.conveyor === conveyor && one.takeup === takeup);
    if (open === undefined)
      throw new ProblemError('service-not-open', 'No service is open on this take-up: somebody may have been quicker.');
    await once(name, ['close-service', by, request.body], () =>
      record(name, by, conveyor, { time: formatTime(clock.nowMs()), conveyor, takeup, kind: 'service-closed' }),
    );
    return reply.code(204).send();
  });

  async function once(name: string, what: unknown, begin: () => Promise<void>): Promise<void> {
    const done = inFlight.do(name, JSON.stringify(what), begin);
    if (done === undefined)
      throw new ProblemError('bad-request', 'Something else is being done under the same request: give this its own.');
    await done;
  }

  /** Has the agent write an entry down, named after the request. */
  async function record(name: string, by: string, conveyor: string, entry: Readonly<Record<string, unknown>>): Promise<void> {
    const outcome = await ask('service-entry', by, { entry: { ...entry, by } }, name);
    mustBeDone(outcome, 'Nothing is written down', 'Whether it is written down will show in the service log');
    tellWork(conveyor);
  }

  function asFile(ending: string): string {
    return `attachment; filename="${site.id}-service-log.${ending}"`;
  }
}
