import type { LinkState } from '../logic/live-messages.js';
import type { SiteAnswer } from '../logic/site-answer.js';
import type { App } from '../plugins/app.js';

export interface SiteRoutesParts {
  readonly site: SiteAnswer;
  readonly link: () => LinkState;
}

/** The site as read, and whether this server is well (for whatever watches over it: it tells nothing of the plant). */
export function siteRoutes(app: App, { site, link }: SiteRoutesParts): void {
  app.get('/api/site', { config: { permission: 'see' } }, () => Promise.resolve(site));

  app.get('/healthz', () => {
    const { broker, agent } = link();
    return Promise.resolve({ status: 'ok', broker: broker.connected ? 'connected' : 'away', agent: agent.state });
  });
}
