import type { RotaAnswer } from '../../server/logic/set-up-answers.js';
import { priorityWords } from '../logic/alarm-words.js';
import type { Priority } from '../../../agent/flow/alarm-key.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { may } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';

/** Who is called when, as the site file has it, and where to let people sign in. */
export function OnCall() {
  const answer = useAnswer(() => ask<{ readonly rota: RotaAnswer | null }>('GET', '/api/rota'), []);
  return (
    <section class="card" aria-labelledby="rota-head">
      <h2 id="rota-head">Who is on call</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="who is on call" /> : null}
      {answer.state === 'here' && answer.value.rota === null ? (
        <p>The site file has no rota, so nobody is paged. People, rota and ladders are described in the site file.</p>
      ) : null}
      {answer.state === 'here' && answer.value.rota !== null ? <Rota rota={answer.value.rota} /> : null}
      <p>
        <a href="#/people">{may('manage-people') ? 'Who may sign in, and your password' : 'Your password'}</a>
      </p>
    </section>
  );
}

function Rota({ rota: { people, onCall, next, handOver, ladders } }: { readonly rota: RotaAnswer }) {
  return (
    <>
      <p>
        <b>{onCall ?? 'Nobody yet'}</b>
        {next === undefined ? '' : `, then ${next}`}. Hand-over every {handOver}.
      </p>
      <p>Weeks in turn: {people.join(', ')}.</p>
      <ul>
        {ladders.map(({ priority, steps }) => (
          <li key={priority}>
            {priorityWords(priority as Priority)}:{' '}
            {steps.map(({ afterMin, to }) => `${to}${afterMin === 0 ? ' at once' : ` after ${afterMin}\u00a0min`}`).join(', ')}
          </li>
        ))}
      </ul>
    </>
  );
}
