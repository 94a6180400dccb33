import { Type, type Static } from 'typebox';
import type { Clock } from '../../../agent/process/clock.js';
import { formatTime } from '../../../agent/units/time.js';
import type { AskAgent } from '../live/requests.js';
import type { AcknowledgedAnswer } from '../logic/answers.js';
import { mustBeDone } from '../logic/done-by-agent.js';
import { isOwnAlarm } from '../logic/own-alarm.js';
import { ProblemError } from '../logic/problem.js';
import type { App } from '../plugins/app.js';
import { signedIn } from './session-routes.js';

export interface AlarmActionParts {
  readonly request: AskAgent;
  /** Acknowledges an alarm that is the web server's own. @returns whether it waited for that */
  readonly acknowledgeOwn: (alarm: string, by: string) => Promise<boolean>;
  readonly clock: Clock;
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
/** A word at least; what is typed without thinking is worth nothing to whoever reads it later, but nobody can check that. */
const WHY = Type.String({ minLength: 1, maxLength: 500, pattern: '\\S' });
const ALARM = {
  conveyor: Type.Optional(NAME),
  alarm: NAME,
  takeup: Type.Optional(NAME),
  side: Type.Optional(Type.Enum(['left', 'right'])),
  signal: Type.Optional(NAME),
};
const strict = { additionalProperties: false };
const ONE = Type.Object(ALARM, strict);
type OneAlarm = Static<typeof ONE>;

/** So many are asked of the agent in one request: each is durable before it answers. */
const MOST_AT_ONCE = 200;
const SEVERAL = Type.Object({ alarms: Type.Array(ONE, { minItems: 1, maxItems: MOST_AT_ONCE }) }, strict);
/** So many are on their way to the agent together, so that the last of them is not given up for the time that the others take. */
const TOGETHER = 20;

/** A day at most (IEC 62682 asks for a limit; alarms.md §2 sets it). */
const LONGEST_SHELVING_MIN = 24 * 60;
const SHELVE = Type.Object({ ...ALARM, minutes: Type.Integer({ minimum: 1, maximum: LONGEST_SHELVING_MIN }), why: WHY }, strict);
const WITH_REASON = Type.Object({ ...ALARM, why: WHY }, strict);
const PERHAPS_WITH_REASON = Type.Object({ ...ALARM, why: Type.Optional(WHY) }, strict);

const MINUTE_MS = 60_000;

const NOBODY_THERE: ReadonlySet<ProblemError['code']> = new Set(['broker-away', 'agent-no-answer']);

/** Acknowledging, shelving, and taking out of service, and their undoing. */
export function alarmActionRoutes(app: App, { request: requestOfAgent, acknowledgeOwn, clock }: AlarmActionParts): void {
  app.post('/api/alarms/acknowledge', { config: { permission: 'acknowledge-alarm' }, schema: { body: ONE } }, async (request, reply) => {
    await acknowledge(request.body, signedIn(request).name);
    return reply.code(204).send();
  });

  app.post(
    '/api/alarms/acknowledge-several',
    { config: { permission: 'acknowledge-alarm' }, schema: { body: SEVERAL } },
    async (request): Promise<AcknowledgedAnswer> => {
      const by = signedIn(request).name;
      const left = [...request.body.alarms];
      const refused: AcknowledgedAnswer['refused'][number][] = [];
      while (left.length > 0) {
        const some = left.splice(0, TOGETHER);
        const problems = await Promise.all(some.map((alarm) => problemOf(acknowledge(alarm, by))));
        refused.push(...some.flatMap((alarm, index) => whyNot(alarm, problems[index])));
        const gone = problems.find((problem) => problem !== undefined && NOBODY_THERE.has(problem.code));
        // Each of the others would wait as long, for the same.
        if (gone !== undefined) refused.push(...left.splice(0).flatMap((alarm) => whyNot(alarm, gone)));
      }
      return { acknowledged: request.body.alarms.length - refused.length, refused };
    },
  );

  app.post('/api/alarms/shelve', { config: { permission: 'shelve-alarm' }, schema: { body: SHELVE } }, async (request, reply) => {
    const { minutes, ...alarm } = request.body;
    const until = formatTime(clock.nowMs() + minutes * MINUTE_MS);
    await ask('shelve', signedIn(request).name, { ...alarm, until }, 'It is not shelved', 'Whether it is shelved will show in the list');
    return reply.code(204).send();
  });

  app.post(
    '/api/alarms/unshelve',
    { config: { permission: 'shelve-alarm' }, schema: { body: PERHAPS_WITH_REASON } },
    async (request, reply) => {
      const by = signedIn(request).name;
      await ask('unshelve', by, request.body, 'It stays shelved', 'Whether it is back will show in the list');
      return reply.code(204).send();
    },
  );

  app.post(
    '/api/alarms/out-of-service',
    { config: { permission: 'take-alarm-out-of-service' }, schema: { body: WITH_REASON } },
    async (request, reply) => {
      const by = signedIn(request).name;
      await ask('out-of-service', by, request.body, 'It stays in service', 'Whether it is out of service will show in the list');
      return reply.code(204).send();
    },
  );

  app.post(
    '/api/alarms/in-service',
    { config: { permission: 'take-alarm-out-of-service' }, schema: { body: PERHAPS_WITH_REASON } },
    async (request, reply) => {
      const by = signedIn(request).name;
      await ask('in-service', by, request.body, 'It stays out of service', 'Whether it is back in service will show in the list');
      return reply.code(204).send();
    },
  );

  async function acknowledge(alarm: OneAlarm, by: string): Promise<void> {
    if (isOwnAlarm(alarm)) {
      if (await acknowledgeOwn(alarm.alarm, by)) return;
      throw new ProblemError('not-found', 'It does not stand, or it was acknowledged already.');
    }
    await ask('acknowledge', by, alarm, 'The alarm is not acknowledged', 'Whether the alarm is acknowledged will show in the list');
  }

  async function ask(
    verb: string,
    by: string,
    alarm: OneAlarm & Record<string, unknown>,
    notDone: string,
    willShow: string,
  ): Promise<void> {
    if (isOwnAlarm(alarm))
      throw new ProblemError('bad-request', 'A silent agent watches nothing: that alarm is acknowledged, and never set aside.');
    if (alarm.conveyor === undefined) throw new ProblemError('bad-request', 'Say of which conveyor.');
    mustBeDone(await requestOfAgent(verb, by, alarm), notDone, willShow);
  }
}

/** Why something was not done; undefined where it was. */
async function problemOf(done: Promise<void>): Promise<ProblemError | undefined> {
  try {
    await done;
    return undefined;
  } catch (error) {
    if (error instanceof ProblemError) return error;
    throw error;
  }
}

function whyNot(alarm: OneAlarm, problem: ProblemError | undefined): AcknowledgedAnswer['refused'] {
  return problem === undefined ? [] : [{ alarm, why: problem.detail }];
}
