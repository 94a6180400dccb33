import { Cautions } from '../parts/cautions.js';
import { WorkCards } from './work-cards.js';
import { WorkServices } from './work-services.js';
import { WorkTakeups } from './work-takeups.js';

/** What there is to do: jobs and services that are open, the take-ups that need work first, and what was done last. */
export function WorkScreen() {
  return (
    <article class="page work">
      <header class="page-head">
        <h1>Work</h1>
      </header>
      <Cautions />
      <WorkCards />
      <WorkServices />
      <WorkTakeups />
    </article>
  );
}
