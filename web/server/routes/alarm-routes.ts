import { Type, type Static } from 'typebox';
import type { HistoryReader } from '../lazy-history.js';
import type { RequestOutcome } from '../live/requests.js';
import type { AlarmsAnswer } from '../logic/answers.js';
import type { StandingEntry } from '../logic/live-messages.js';
import { ProblemError } from '../logic/problem.js';
import type { App } from '../plugins/app.js';
import { signedIn } from './session-routes.js';

export interface AlarmRoutesParts {
  readonly history: HistoryReader;
  readonly standing: () => readonly StandingEntry[];
  /** Asks the agent to do something. */
  readonly request: (verb: string, by: string, fields: Readonly<Record<string, unknown>>) => Promise<RequestOutcome>;
  /** Acknowledges `agent-silent`, which is the web server's own. @returns whether it stood */
  readonly acknowledgeSilence: () => boolean;
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const OF_A_TAKEUP = { takeup: Type.Optional(NAME), side: Type.Optional(Type.Enum(['left', 'right'])), signal: Type.Optional(NAME) };
const ACKNOWLEDGE = Type.Object({ conveyor: Type.Optional(NAME), alarm: NAME, ...OF_A_TAKEUP }, { additionalProperties: false });

const RECENT_QUERY = Type.Object({
  conveyor: Type.Optional(NAME),
  takeup: Type.Optional(NAME),
  limit: Type.Optional(Type.String({ pattern: '^[1-9]\\d{0,2}$' })),
});
const USUAL_RECENT = 50;

/** Standing and recent alarms, and acknowledging them. */
export function alarmRoutes(app: App, { history, standing, request: requestOfAgent, acknowledgeSilence }: AlarmRoutesParts): void {
  app.get(
    '/api/alarms',
    { config: { permission: 'see' }, schema: { querystring: RECENT_QUERY } },
    async (request): Promise<AlarmsAnswer> => {
      const { conveyor, takeup, limit } = request.query;
      const place = { ...(conveyor === undefined ? {} : { conveyor }), ...(takeup === undefined ? {} : { takeup }) };
      const { events } = await history.alarmEvents({ ...place, limit: Number(limit ?? USUAL_RECENT) });
      return { standing: standing().filter((alarm) => isOf(alarm, place)), recent: events };
    },
  );

  app.post(
    '/api/alarms/acknowledge',
    { config: { permission: 'acknowledge-alarm' }, schema: { body: ACKNOWLEDGE } },
    async (request, reply) => {
      await acknowledge(request.body, signedIn(request).name);
      return reply.code(204).send();
    },
  );

  async function acknowledge(alarm: Static<typeof ACKNOWLEDGE>, by: string): Promise<void> {
    if (alarm.alarm === 'agent-silent') {
      if (!acknowledgeSilence()) throw new ProblemError('not-found', 'The agent is not silent, or it was acknowledged already.');
      return;
    }
    if (alarm.conveyor === undefined) throw new ProblemError('bad-request', 'Say of which conveyor.');
    const outcome = await requestOfAgent('acknowledge', by, alarm);
    if (outcome.kind === 'broker-away')
      throw new ProblemError('broker-away', 'The alarm is not acknowledged; try again when the connection is back.');
    if (outcome.kind === 'no-answer') throw new ProblemError('agent-no-answer', 'Whether the alarm is acknowledged will show in the list.');
    if (!outcome.answer.ok) throw new ProblemError('refused-by-agent', outcome.answer.message);
  }
}

function isOf(alarm: StandingEntry, place: { readonly conveyor?: string; readonly takeup?: string }): boolean {
  return (place.conveyor ?? alarm.conveyor) === alarm.conveyor && (place.takeup ?? alarm.takeup) === alarm.takeup;
}
