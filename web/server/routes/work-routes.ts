import { Type } from 'typebox';
import type { Clock } from '../../../agent/process/clock.js';
import type { Site } from '../../../agent/site/site.js';
import type { HistoryReader } from '../lazy-history.js';
import { InFlight } from '../live/in-flight.js';
import type { RequestOutcome } from '../live/requests.js';
import { mustBeDone } from '../logic/done-by-agent.js';
import { ProblemError } from '../logic/problem.js';
import { withChecks } from '../logic/entry-checks.js';
import { confirmationOf, confirmingId, findingsOf, logOfTakeup, openFindings, serviceLog } from '../logic/service-log.js';
import { takeupKey } from '../logic/takeup-key.js';
import type { EntryAnswer, FindingAnswer } from '../logic/work-answers.js';
import type { App } from '../plugins/app.js';
import { signedIn } from './session-routes.js';

export interface WorkRoutesParts {
  readonly site: Pick<Site, 'conveyors'>;
  readonly clock: Clock;
  readonly history: HistoryReader;
  /** Keys of the take-ups of the site. */
  readonly known: ReadonlySet<string>;
  /** Asks the agent to do something, under a name by which it knows the same request again. */
  readonly request: (verb: string, by: string, fields: Readonly<Record<string, unknown>>, request: string) => Promise<RequestOutcome>;
  /** Tells the screens that findings or the log of a conveyor have changed. */
  readonly tellWork: (conveyor: string) => void;
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const PLACE = Type.Object({ conveyor: Type.String(), takeup: Type.String() });
/** What the agent takes for the name of a request. */
const REQUEST = Type.String({ pattern: '^[A-Za-z0-9._-]{1,64}$' });
const ENTRY = Type.Object({ request: REQUEST, entry: Type.Record(Type.String(), Type.Unknown()) }, { additionalProperties: false });
const FINDING = Type.Object({ request: REQUEST, conveyor: NAME, takeup: NAME, finding: NAME }, { additionalProperties: false });

/** What the carriage says and what people did: reading both, writing an entry, confirming and rejecting findings. */
export function workRoutes(app: App, { site, clock, history, known, request: requestOfAgent, tellWork }: WorkRoutesParts): void {
  const inFlight = new InFlight<void>();

  app.get(
    '/api/takeups/:conveyor/:takeup/findings',
    { config: { permission: 'see' }, schema: { params: PLACE } },
    async (request): Promise<readonly FindingAnswer[]> => {
      const { conveyor, takeup } = request.params;
      mustKnow(conveyor, takeup);
      return findingsOf(await history.findings({ conveyor, takeup }), serviceLog(await history.entries()));
    },
  );

  app.get('/api/findings/open', { config: { permission: 'see' } }, async (): Promise<readonly FindingAnswer[]> => {
    return openFindings(findingsOf(await history.findings({}), serviceLog(await history.entries())), clock.nowMs());
  });

  app.get(
    '/api/takeups/:conveyor/:takeup/entries',
    { config: { permission: 'see' }, schema: { params: PLACE } },
    async (request): Promise<readonly EntryAnswer[]> => {
      const { conveyor, takeup } = request.params;
      mustKnow(conveyor, takeup);
      const log = logOfTakeup(serviceLog(await history.entries()), conveyor, takeup);
      return withChecks(log, await history.findings({ conveyor }), site, clock.nowMs());
    },
  );

  app.post('/api/entries', { config: { permission: 'record-work' }, schema: { body: ENTRY } }, async (request, reply) => {
    const by = signedIn(request).name;
    await once(request.body.request, ['entry', by, request.body], () =>
      record(request.body.request, by, { ...request.body.entry, id: null }),
    );
    return reply.code(204).send();
  });

  app.post('/api/findings/confirm', { config: { permission: 'record-work' }, schema: { body: FINDING } }, async (request, reply) => {
    const by = signedIn(request).name;
    const { conveyor, takeup, finding } = request.body;
    mustKnow(conveyor, takeup);
    await once(request.body.request, ['confirm', by, request.body], async () => {
      const entry = await entryConfirming(conveyor, takeup, finding, by);
      if (entry !== undefined) await record(request.body.request, by, entry);
    });
    return reply.code(204).send();
  });

  app.post('/api/findings/reject', { config: { permission: 'record-work' }, schema: { body: FINDING } }, async (request, reply) => {
    const by = signedIn(request).name;
    const { conveyor, takeup, finding } = request.body;
    mustKnow(conveyor, takeup);
    await once(request.body.request, ['reject', by, request.body], async () => {
      const outcome = await requestOfAgent('reject-finding', by, { conveyor, finding }, request.body.request);
      mustBeDone(outcome, 'The finding is not rejected', 'Whether it is rejected will show in the list');
      tellWork(conveyor);
    });
    return reply.code(204).send();
  });

  function mustKnow(conveyor: string, takeup: string): void {
    if (!known.has(takeupKey(conveyor, takeup)))
      throw new ProblemError('not-found', `The site has no take-up ${takeup} on a conveyor ${conveyor}.`);
  }

  async function once(id: string, what: unknown, begin: () => Promise<void>): Promise<void> {
    const done = inFlight.do(id, JSON.stringify(what), begin);
    if (done === undefined)
      throw new ProblemError('bad-request', 'Something else is being done under the same request: give this its own.');
    await done;
  }

  /** The entry that a finding suggests; undefined where this very person has recorded it already, as by a second click. */
  async function entryConfirming(conveyor: string, takeup: string, id: string, by: string): Promise<EntryAnswer['entry'] | undefined> {
    const finding = (await history.findings({ conveyor, takeup })).find((one) => one.id === id);
    if (finding === undefined) throw new ProblemError('not-found', 'There is no such finding at this take-up.');
    const log = serviceLog(await history.entries());
    const confirmation = confirmationOf(id, log);
    if (confirmation !== undefined && confirmation.by === by) return undefined;
    if (confirmation !== undefined) throw new ProblemError('finding-not-open', `${confirmation.by ?? 'Somebody'} has recorded it already.`);
    if (finding.state === 'explained') throw new ProblemError('finding-not-open', 'A service entry explains it by now.');
    if (finding.state === 'rejected') throw new ProblemError('finding-not-open', `${finding.by ?? 'Somebody'} said that it is not so.`);
    if (finding.suggestion === undefined)
      throw new ProblemError('bad-request', 'The finding suggests no entry: write down what was done by hand.');
    return { ...finding.suggestion, id: confirmingId(id, log) };
  }

  /** Has the agent write an entry down, named after the request where it has no name; whoever is signed in did it, whatever the entry says. */
  async function record(request: string, by: string, entry: Readonly<Record<string, unknown>>): Promise<void> {
    const outcome = await requestOfAgent('service-entry', by, { entry: { ...entry, by } }, request);
    mustBeDone(outcome, 'Nothing is written down', 'Whether it is written down will show in the service log');
    const { conveyor } = entry;
    if (typeof conveyor === 'string') tellWork(conveyor);
  }
}
