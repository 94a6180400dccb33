import { Type } from 'typebox';
import type { AlarmState } from '../../../agent/flow/alarm-key.js';
import type { Site } from '../../../agent/site/site.js';
import type { AlarmPast } from '../alarm-past.js';
import type { HistoryReader } from '../lazy-history.js';
import { alarmPaging, pagingKnown, type PagingKnown } from '../logic/alarm-paging.js';
import type { AlarmEventAnswer, PagingAnswer } from '../logic/answers.js';
import type { StandingEntry } from '../logic/live-messages.js';
import { may } from '../logic/permissions.js';
import type { App } from '../plugins/app.js';
import { isOf } from './alarm-routes.js';
import { signedIn } from './session-routes.js';

export interface AlarmPagingParts {
  readonly site: Site;
  readonly standing: () => readonly StandingEntry[];
  readonly history: Pick<HistoryReader, 'paging'>;
  readonly past: AlarmPast;
  /** What the web server knows of its own pages, about a silent agent. */
  readonly ownPaging: () => PagingKnown;
}

const NAME = Type.String({ minLength: 1, maxLength: 200 });
const QUERY = Type.Object({ conveyor: Type.Optional(NAME), takeup: Type.Optional(NAME) }, { additionalProperties: false });

/** What is set aside, by a person or by design, pages nobody; and one that never rose has no beginning. */
const CALLING: ReadonlySet<AlarmState> = new Set(['unacknowledged', 'acknowledged', 'returned-unacknowledged']);
/** A call may have begun before what it now tells of rose. */
const BEFORE_MS = 3600_000;
/** So many acknowledgements are looked through for who took what stands. */
const TAKEN = 500;

/** Who was paged about what stands, and what became of it. */
export function alarmPagingRoutes(app: App, { site, standing, history, past, ownPaging }: AlarmPagingParts): void {
  app.get(
    '/api/alarms/paging',
    { config: { permission: 'see' }, schema: { querystring: QUERY } },
    async (request): Promise<PagingAnswer> => {
      const alarms = standing().filter((alarm) => CALLING.has(alarm.state) && isOf(alarm, request.query));
      if (alarms.length === 0) return { alarms: [] };
      const withWords = may(signedIn(request).role, 'acknowledge-alarm');
      const [known, taken] = await Promise.all([knownSince(oldestOf(alarms)), takenOf(alarms)]);
      return { alarms: alarmPaging(alarms, known, taken, site, withWords) };
    },
  );

  async function knownSince(sinceMs: number): Promise<PagingKnown> {
    const [kept, own] = [pagingKnown(await history.paging(sinceMs - BEFORE_MS)), ownPaging()];
    return {
      calls: [...kept.calls, ...own.calls],
      messages: [...kept.messages, ...own.messages],
      notes: [...kept.notes, ...own.notes],
    };
  }

  async function takenOf(alarms: readonly StandingEntry[]): Promise<readonly AlarmEventAnswer[]> {
    const acknowledged = alarms.filter(({ state }) => state === 'acknowledged');
    if (acknowledged.length === 0) return [];
    return (await past.page({ changes: ['acknowledged'], fromMs: oldestOf(acknowledged) }, TAKEN)).events;
  }
}

function oldestOf(alarms: readonly StandingEntry[]): number {
  return Math.min(...alarms.map(({ since }) => Date.parse(since)));
}
