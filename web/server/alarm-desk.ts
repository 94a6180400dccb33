import type { Clock } from '../../agent/process/clock.js';
import type { Site } from '../../agent/site/site.js';
import type { SilenceLog } from './agent-silent/silence-log.js';
import { AlarmPast } from './alarm-past.js';
import type { HistoryReader } from './lazy-history.js';
import type { AskAgent } from './live/requests.js';
import type { Changed, LiveInput, LivePicture } from './logic/live-picture.js';
import type { AlarmList } from './logic/site-answer.js';
import type { App } from './plugins/app.js';
import { alarmActionRoutes } from './routes/alarm-action-routes.js';
import { alarmJudgingRoutes } from './routes/alarm-judging-routes.js';
import { alarmListRoutes } from './routes/alarm-list-routes.js';
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
}

/** Everything that is done with alarms: what stands, what is done about it, what changed, how it is judged. */
export function alarmDesk(app: App, { site, alarmList, history, picture, silences, clock, hear, ask }: AlarmDeskParts): void {
  const past = new AlarmPast(history, () => silences.events);
  const ofSite = { siteId: site.id, timezone: site.timezone };
  const acknowledgeSilence = async (by: string): Promise<boolean> => {
    const { silence } = hear({ kind: 'silence-acknowledged', by, atMs: clock.nowMs() });
    await silences.write();
    return silence !== undefined;
  };
  alarmRoutes(app, { past, standing: () => picture.standingAlarms() });
  alarmActionRoutes(app, { request: ask, acknowledgeSilence, clock });
  alarmListRoutes(app, { past, ...ofSite, keys: alarmList.definitions.map(({ key }) => key) });
  alarmJudgingRoutes(app, { past, ...ofSite, clock });
}
