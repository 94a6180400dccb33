import type { Clock } from '../../agent/process/clock.js';
import type { OnStop } from '../../agent/process/lifecycle.js';
import type { Site } from '../../agent/site/site.js';
import type { HistoryReader } from './lazy-history.js';
import type { AskAgent } from './live/requests.js';
import type { LivePicture } from './logic/live-picture.js';
import { takeupKey } from './logic/takeup-key.js';
import type { App } from './plugins/app.js';
import { cardRoutes } from './routes/card-routes.js';
import { planRoutes } from './routes/plan-routes.js';
import { workLogRoutes } from './routes/work-log-routes.js';
import { workRoutes } from './routes/work-routes.js';
import { CardDesk } from './work/card-desk.js';
import { Cards } from './work/cards.js';
import { VerifyWatch } from './work/verify-watch.js';

export interface WorkDeskParts {
  readonly site: Site;
  /** Keys of the take-ups of the site. */
  readonly known: ReadonlySet<string>;
  /** The job cards are kept below it. */
  readonly dataDir: string;
  readonly history: HistoryReader;
  readonly picture: Pick<LivePicture, 'takeup' | 'linkState'>;
  readonly clock: Clock;
  readonly ask: AskAgent;
  /** Tells the screens that findings, cards or the log of a conveyor have changed. */
  readonly tellWork: (conveyor: string) => void;
  readonly onStop: OnStop;
}

/** Whether a closed job can be verified is looked at so often. */
const VERIFY_MS = 2000;

/**
 * Everything around work on the take-ups: plans, job cards, entries and findings.
 *
 * @throws TakelineFault `card-damaged`, `data-unreadable`
 */
export async function workDesk(app: App, parts: WorkDeskParts): Promise<void> {
  const { site, known, dataDir, history, picture, clock, ask, tellWork, onStop } = parts;
  const cards = await Cards.open(dataDir);
  const nowOf = (conveyor: string, takeup: string) => picture.takeup(takeupKey(conveyor, takeup));
  const agentHeard = (): boolean => picture.linkState().agent.state === 'heard';
  const heardOf = (conveyor: string, takeup: string) => (agentHeard() ? nowOf(conveyor, takeup) : undefined);
  const stock = { site, history, clock, nowOf, agentHeard };
  planRoutes(app, stock);
  cardRoutes(app, { ...stock, cards, tellWork, desk: new CardDesk({ site, cards, request: ask, heardOf, tellWork, clock }) });
  workLogRoutes(app, { site, history, request: ask, tellWork, clock });
  workRoutes(app, { site, clock, history, known, tellWork, request: ask });
  const watch = new VerifyWatch({ cards, timezone: site.timezone, history, heardOf, tellWork, clock });
  const timer = setInterval(() => void watch.look(), VERIFY_MS);
  onStop('verification of jobs', () => clearInterval(timer));
}
