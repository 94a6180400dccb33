import { reportHref } from '../logic/work-route.js';
import { Cautions } from '../parts/cautions.js';
import { may, site } from '../state/session.js';
import { SiteLog } from './service-log-list.js';
import { WorkCards } from './work-cards.js';
import { WorkFindings } from './work-findings.js';
import { WorkServices } from './work-services.js';
import { WorkTakeups } from './work-takeups.js';

const RECENT = 10;
/** More conveyors than these fill a screen with their buttons. */
const MANY = 20;

/** What there is to do: jobs and services that are open, the take-ups that need work first, and what was done last. */
export function WorkScreen() {
  return (
    <article class="page work">
      <header class="page-head">
        <h1>Work</h1>
        <a href="#/work/log">Service log: {may('record-work') ? 'write down, correct, take away' : 'look up, take away'}</a>
      </header>
      <Cautions />
      <WorkCards />
      <WorkServices />
      <WorkFindings />
      <WorkTakeups />
      <section aria-label="Work done last">
        <h2>Work done last</h2>
        <SiteLog most={RECENT} />
      </section>
      <section aria-label="Condition reports, to print">
        <h2>Condition reports, to print</h2>
        <Reports />
      </section>
    </article>
  );
}

/** A report a conveyor; of many they are unfolded by whoever wants one. */
function Reports() {
  const conveyors = site.value?.conveyors ?? [];
  const links = (
    <ul class="report-links">
      {conveyors.map(({ id, name }) => (
        <li key={id}>
          <a class="button" href={reportHref(id)}>
            {name}
          </a>
        </li>
      ))}
    </ul>
  );
  if (conveyors.length <= MANY) return links;
  return (
    <details>
      <summary>Of which of the {conveyors.length} conveyors</summary>
      {links}
    </details>
  );
}
