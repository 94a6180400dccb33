import { createHash } from 'node:crypto';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Clock } from '../../../agent/process/clock.js';
import { ACK_PATH, checkAckLink, type AckGrant } from '../../../agent/process/signed-link.js';
import type { Site } from '../../../agent/site/site.js';
import type { AlarmPast } from '../alarm-past.js';
import { InFlight } from '../live/in-flight.js';
import type { AskAgent, RequestOutcome } from '../live/requests.js';
import { judgeLink, type AckJudgement } from '../logic/ack-judgement.js';
import { ACK_STYLE, ACK_STYLE_PATH, ackPageHtml, type AckPage } from '../logic/ack-page.js';
import { AckWords, type AcknowledgedBy } from '../logic/ack-words.js';
import { sentence } from '../logic/done-by-agent.js';
import type { LinkState, StandingEntry } from '../logic/live-messages.js';
import { isOwnAlarm } from '../logic/own-alarm.js';
import { ProblemError } from '../logic/problem.js';
import type { AlarmList } from '../logic/site-answer.js';
import type { App } from '../plugins/app.js';

export interface AckParts {
  readonly site: Site;
  readonly alarmList: AlarmList;
  /** What links are checked with. */
  readonly secret: Uint8Array;
  readonly past: AlarmPast;
  readonly standing: () => readonly StandingEntry[];
  readonly link: () => LinkState;
  readonly ask: AskAgent;
  /** Acknowledges an alarm that is the web server's own. @returns whether it waited for that */
  readonly acknowledgeOwn: (alarm: string, by: string) => Promise<boolean>;
  readonly clock: Clock;
  readonly log: (line: string) => void;
}

/** A person opens a link once or twice; whoever tries out tokens does it often. */
const LINKS_A_MINUTE = 30;
const LIMIT = { rateLimit: { max: LINKS_A_MINUTE, timeWindow: '1 minute' } };

/** What is left out of a page that was refused: that it was is said, and by which status. */
const STATUS = { malformed: 404, forged: 403, expired: 410, 'person-gone': 403 } as const;

/**
 * `/ack/<token>`: the page that a paged person's link opens. Looking changes nothing, however often a mail scanner does it; the
 * button acknowledges that one alarm. The token alone says who and what: no session is asked for, made or looked at.
 */
export async function ackRoutes(app: App, parts: AckParts): Promise<void> {
  const { site, secret, past, standing, link, ask, acknowledgeOwn, clock, log } = parts;
  const words = new AckWords(site, parts.alarmList);
  const people = site.people.map(({ id }) => id);
  const inFlight = new InFlight<RequestOutcome>();

  await app.register((scope, _options, done) => {
    // The button of the page sends a form, empty; nowhere else are forms taken.
    scope.addContentTypeParser('application/x-www-form-urlencoded', { parseAs: 'string' }, (_request, _body, parsed) =>
      parsed(null, undefined),
    );
    scope.setErrorHandler(async (error, _request, reply) => {
      const tooMany = error instanceof ProblemError && error.code === 'too-many';
      // Without the address: it has the token in it.
      if (!tooMany) log(`web: an acknowledging link: ${error instanceof Error ? error.message : String(error)}`);
      const verdict = tooMany ? 'Too many links were opened from here. Wait a minute and try again.' : 'Something went wrong. Try again.';
      const page = { site: 'Takeline', title: 'Not now', facts: [], verdict, cautions: [] };
      return send(reply, tooMany ? 429 : 500, page);
    });
    // A star, since a token is longer than a named part of an address may be.
    scope.get<{ Params: { '*': string } }>(`${ACK_PATH}*`, { config: LIMIT }, (request, reply) => show(request, reply));
    scope.post<{ Params: { '*': string } }>(`${ACK_PATH}*`, { config: { ...LIMIT, fromAnywhere: true } }, (request, reply) =>
      use(request, reply),
    );
    scope.get(ACK_STYLE_PATH, (_request, reply) =>
      reply.type('text/css; charset=utf-8').header('cache-control', 'max-age=3600').send(ACK_STYLE),
    );
    done();
  });

  async function show(request: FastifyRequest<{ Params: { '*': string } }>, reply: FastifyReply): Promise<FastifyReply> {
    const judgement = judge(request.params['*']);
    if (judgement.kind === 'refused') return send(reply, STATUS[judgement.reason], words.refusal(judgement.reason));
    return send(reply, 200, words.asking(judgement, await acknowledgedBy(judgement)));
  }

  async function use(request: FastifyRequest<{ Params: { '*': string } }>, reply: FastifyReply): Promise<FastifyReply> {
    const token = request.params['*'];
    const judgement = judge(token);
    if (judgement.kind === 'refused') return send(reply, STATUS[judgement.reason], words.refusal(judgement.reason));
    // A second press, or a replay: how it stands says it all.
    if (judgement.kind !== 'waits' && judgement.kind !== 'not-known')
      return send(reply, 200, words.asking(judgement, await acknowledgedBy(judgement)));
    const { status, verdict } = await acknowledge(judgement.grant, token);
    return send(reply, status, words.told(judgement, verdict));
  }

  function judge(token: string): AckJudgement {
    return judgeLink(checkAckLink(token, secret, clock.nowMs()), people, standing(), link());
  }

  async function acknowledge(grant: AckGrant, token: string): Promise<{ readonly status: number; readonly verdict: string }> {
    const { conveyor, takeup, signal, alarm } = grant;
    const by = words.nameOf(grant.person);
    if (isOwnAlarm(grant)) return done(await acknowledgeOwn(alarm, by), by);
    const place = { ...(conveyor && { conveyor }), ...(takeup && { takeup }), ...(signal && { signal }) };
    // The link's own name, by which the agent knows a repeated request again: it is done once.
    const id = `ack-${createHash('sha256').update(token).digest('hex').slice(0, 40)}`;
    const outcome = await inFlight.do(id, id, () => ask('acknowledge', by, { ...place, alarm }, id));
    if (outcome === undefined) throw new Error('two links have one name');
    switch (outcome.kind) {
      case 'broker-away':
        return {
          status: 503,
          verdict: 'It is NOT acknowledged: the agent cannot be reached. Try again in a minute, or call the control room.',
        };
      case 'no-answer':
        return { status: 504, verdict: 'The agent does not answer, so it may not be acknowledged. Try again: that does no harm.' };
      case 'answered':
        return outcome.answer.ok
          ? done(true, by)
          : { status: 409, verdict: `It was not acknowledged. ${sentence(outcome.answer.message)}` };
    }
  }

  /** Who acknowledged it; undefined where that is not known. */
  async function acknowledgedBy(judgement: AckJudgement): Promise<AcknowledgedBy | undefined> {
    if (judgement.kind !== 'acknowledged' && judgement.kind !== 'over') return undefined;
    const { conveyor, takeup, signal, alarm, sinceMs } = judgement.grant;
    const key = parts.alarmList.definitions.find((one) => one.key === alarm)?.key;
    if (key === undefined) return undefined;
    try {
      const place = { ...(conveyor && { conveyor }), ...(takeup && { takeup }) };
      const { events } = await past.page({ ...place, alarms: [key], changes: ['acknowledged'], fromMs: sinceMs }, 20);
      // The first one after it rose; later ones are of later times.
      const event = events.filter((one) => one.signal === signal && one.takeup === takeup).at(-1);
      return event?.by === undefined ? undefined : { by: event.by, timeMs: event.timeMs };
    } catch (error) {
      // Who it was is a courtesy; that it is acknowledged is known without it.
      if (error instanceof ProblemError) return undefined;
      throw error;
    }
  }
}

function done(acknowledged: boolean, by: string): { readonly status: number; readonly verdict: string } {
  return acknowledged
    ? { status: 200, verdict: `Acknowledged by ${by}. You have it: go and see, or hand it on.` }
    : { status: 409, verdict: 'It was not acknowledged: somebody was quicker, or it is over.' };
}

function send(reply: FastifyReply, status: number, page: AckPage): FastifyReply {
  return reply
    .code(status)
    .headers({ 'cache-control': 'no-store', 'referrer-policy': 'no-referrer', 'x-robots-tag': 'noindex' })
    .type('text/html; charset=utf-8')
    .send(ackPageHtml(page));
}
