import { Type } from 'typebox';
import type { Clock } from '../../../agent/process/clock.js';
import type { HistoryReader } from '../lazy-history.js';
import type { AskAgent } from '../live/requests.js';
import { mustBeDone } from '../logic/done-by-agent.js';
import { ProblemError } from '../logic/problem.js';
import type {
  RotaAnswer,
  SignalsAnswer,
  SiteChangedAnswer,
  SiteCheckAnswer,
  SiteTextAnswer,
  SiteVersionAnswer,
} from '../logic/set-up-answers.js';
import type { App } from '../plugins/app.js';
import { signedIn } from './session-routes.js';

/** The site file as the screens edit it, from whoever started the server: reading one is not the server's own affair. */
export interface SiteDesk {
  /** As it is in force. */
  readonly text: string;
  /** Every fault and warning of a text. */
  check(text: string): SiteCheckAnswer;
  /** Who is called when, by name; undefined where the site has no rota. */
  rota(atMs: number): RotaAnswer | undefined;
}

export interface SetUpRoutesParts {
  readonly history: HistoryReader;
  readonly ask: AskAgent;
  readonly siteDesk: SiteDesk | undefined;
  readonly clock: Clock;
}

/** The file of a site with hundreds of take-ups. */
const LONGEST_TEXT = 2_000_000;
const TEXT = Type.Object({ text: Type.String({ maxLength: LONGEST_TEXT }) }, { additionalProperties: false });
const CHANGE = Type.Object(
  {
    text: Type.String({ maxLength: LONGEST_TEXT }),
    before: Type.Optional(Type.String({ maxLength: LONGEST_TEXT })),
    why: Type.Optional(Type.String({ minLength: 1, maxLength: 20_000 })),
  },
  { additionalProperties: false },
);
const BODY = { bodyLimit: LONGEST_TEXT + 100_000 };
/** With the text that was changed beside the one that it was changed to. */
const CHANGE_BODY = { bodyLimit: 2 * LONGEST_TEXT + 100_000 };
const WHICH = Type.Object({ conveyor: Type.Optional(Type.String({ maxLength: 200 })) });
const NR = Type.Object({ nr: Type.String({ pattern: '^\\d{1,9}$' }) });

/** What setting up needs: the signals as they stand, and the site file with its faults and its past. */
export function setUpRoutes(app: App, { history, ask, siteDesk, clock }: SetUpRoutesParts): void {
  const desk = (): SiteDesk => {
    if (siteDesk === undefined) throw new ProblemError('not-found', 'This server was started without a site file to show.');
    return siteDesk;
  };
  // Kept, but not in force before a restart: whoever changes it next goes on from there.
  let kept: string | undefined;

  app.get('/api/signals', { config: { permission: 'see' }, schema: { querystring: WHICH } }, async (request): Promise<SignalsAnswer> => {
    const outcome = await ask('signals', signedIn(request).name, request.query);
    mustBeDone(outcome, 'The signals are not known', 'The agent does not say how the signals stand');
    return { signals: outcome.kind === 'answered' ? (outcome.answer.detail?.signals ?? []) : [] };
  });

  app.get('/api/rota', { config: { permission: 'see' } }, (): Promise<{ readonly rota: RotaAnswer | null }> =>
    Promise.resolve({ rota: siteDesk?.rota(clock.nowMs()) ?? null }),
  );

  // The file names people's addresses and the mail server: it is not for everybody.
  app.get('/api/site/text', { config: { permission: 'change-site' } }, (): Promise<SiteTextAnswer> =>
    Promise.resolve({ text: kept ?? desk().text }),
  );

  app.post(
    '/api/site/check',
    { ...BODY, config: { permission: 'change-site' }, schema: { body: TEXT } },
    (request): Promise<SiteCheckAnswer> => Promise.resolve(desk().check(request.body.text)),
  );

  app.post(
    '/api/site',
    { ...CHANGE_BODY, config: { permission: 'change-site' }, schema: { body: CHANGE } },
    async (request): Promise<SiteChangedAnswer> => {
      const { text, before, why } = request.body;
      if (before !== undefined && before !== (kept ?? desk().text)) {
        throw new ProblemError('site-changed', 'Keep your text somewhere, read the file anew, and make your change in that.');
      }
      const [fault] = desk().check(text).faults;
      if (fault !== undefined) throw new ProblemError('bad-request', `Line ${fault.line}: ${fault.message}`);
      const outcome = await ask('site', signedIn(request).name, { text, ...(why === undefined ? {} : { why }) });
      mustBeDone(outcome, 'The site file is not changed', 'Whether the site file is changed will show in its history');
      kept = text;
      return outcome.kind === 'answered'
        ? { applied: outcome.answer.detail?.applied ?? false, words: outcome.answer.message }
        : { applied: false, words: '' };
    },
  );

  app.get('/api/site/versions', { config: { permission: 'change-site' } }, async (): Promise<readonly SiteVersionAnswer[]> =>
    history.siteVersions(),
  );

  app.get(
    '/api/site/versions/:nr',
    { config: { permission: 'change-site' }, schema: { params: NR } },
    async (request): Promise<SiteTextAnswer> => {
      const version = await history.siteVersion(Number(request.params.nr));
      if (version === undefined) throw new ProblemError('not-found', 'There is no such version of the site file.');
      return { text: version.text };
    },
  );
}
