import type { FindingAnswer } from '../../server/logic/work-answers.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { ask } from '../state/api.js';
import { NOT_HEARD_WORDS, nothingHeard } from '../state/live.js';
import { useAnswer } from '../state/use-answer.js';
import { anyWorkTold } from '../state/work.js';
import { FindingList } from './carriage-says.js';

/** What the carriages of the whole site say and nobody has accounted for yet, latest first. */
export function WorkFindings() {
  const answer = useAnswer(() => ask<readonly FindingAnswer[]>('GET', '/api/findings/open'), [anyWorkTold.value]);
  const section = useKeptFocus<HTMLElement>();
  return (
    <section ref={section} class="findings" aria-labelledby="work-findings">
      <h2 id="work-findings">What the carriages say, and nobody has written down</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="what the carriages say" /> : null}
      {answer.state === 'here' && answer.value.length === 0 ? (
        <p class="quiet-words">{nothingHeard.value ? NOT_HEARD_WORDS : 'Nothing: every move is accounted for.'}</p>
      ) : null}
      {answer.state === 'here' ? <FindingList findings={answer.value} withPlace /> : null}
    </section>
  );
}
