import type { Clock } from '../../agent/process/clock.js';
import { linkSecret } from '../../agent/process/link-secret.js';
import type { Site } from '../../agent/site/site.js';
import type { SilenceLog } from './agent-silent/silence-log.js';
import { AlarmPast } from './alarm-past.js';
import type { HistoryReader } from './lazy-history.js';
import type { AskAgent } from './live/requests.js';
import type { PagingKnown } from './logic/alarm-paging.js';
import type { Changed, LiveInput, LivePicture } from './logic/live-picture.js';
import type { AlarmList } from './logic/site-answer.js';
import type { App } from './plugins/app.js';
import { ackRoutes } from './routes/ack-routes.js';
import { alarmActionRoutes } from './routes/alarm-action-routes.js';
import { alarmJudgingRoutes } from './routes/alarm-judging-routes.js';
import { alarmListRoutes } from './routes/alarm-list-routes.js';
import { alarmPagingRoutes } from './routes/alarm-paging-routes.js';
import { alarmRoutes } from './routes/alarm-routes.js';

export interface AlarmDeskParts {
  readonly site: Site;
  readonly alarmList: AlarmList;
  readonly history: HistoryReader;
  readonly picture: LivePicture;
  readonly silences: SilenceLog;
  readonly clock: Clock;
  /** Takes in what was heard, or done here. */
  readonly hear: (input: LiveInput) => Changed;
  readonly ask: AskAgent;
  /** What the web server knows of its own pages, about a silent agent. */
  readonly ownPaging: () => PagingKnown;
  /** The secret that acknowledging links are checked with is kept below it. */
  readonly dataDir: string;
  readonly log: (line: string) => void;
}

/** Everything that is done with alarms: what stands, what is done about it, what changed, how it is judged. */
export async function alarmDesk(app: App, parts: AlarmDeskParts): Promise<void> {
  const { site, alarmList, history, picture, silences, clock, hear, ask } = parts;
  const past = new AlarmPast(history, () => silences.events);
  const ofSite = { siteId: site.id, timezone: site.timezone };
  const acknowledgeOwn = async (alarm: string, by: string): Promise<boolean> => {
    const { silence } = hear({ kind: 'own-acknowledged', alarm, by, atMs: clock.nowMs() });
    await silences.write();
    return silence !== undefined;
  };
  const standing = () => picture.standingAlarms();
  alarmRoutes(app, { past, standing });
  alarmPagingRoutes(app, { site, standing, history, past, ownPaging: parts.ownPaging });
  alarmActionRoutes(app, { request: ask, acknowledgeOwn, clock });
  alarmListRoutes(app, { past, ...ofSite, keys: alarmList.definitions.map(({ key }) => key) });
  alarmJudgingRoutes(app, { past, ...ofSite, clock });
  await ackRoutes(app, {
    ...{ site, alarmList, past, standing, ask, acknowledgeOwn, clock },
    secret: await linkSecret(parts.dataDir),
    link: () => picture.linkState(),
    log: parts.log,
  });
}
