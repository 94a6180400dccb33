import { useState } from 'preact/hooks';
import type { PersonAnswer } from '../../server/logic/answers.js';
import { fieldsOf } from '../parts/form-fields.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { changePassword, may, me, wordsOf } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';

/** One's own password, and for engineers everybody who may sign in. */
export function PeopleScreen() {
  return (
    <section class="page people">
      <h1>Password and people</h1>
      <OwnPassword />
      {may('manage-people') ? <Everybody /> : null}
    </section>
  );
}

/** Sends a form's fields, says how it went, and empties the form where it went well. */
function useForm(send: (fields: Readonly<Partial<Record<string, string>>>) => Promise<string>) {
  const [words, setWords] = useState({ good: true, text: '' });
  const submit = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    const form = event.currentTarget;
    try {
      setWords({ good: true, text: await send(fieldsOf(form)) });
      if (form instanceof HTMLFormElement) form.reset();
    } catch (error) {
      setWords({ good: false, text: wordsOf(error) });
    }
  };
  const outcome = (
    <p class={words.good ? 'done' : 'problem'} role="status">
      {words.text}
    </p>
  );
  return { onSubmit: (event: SubmitEvent) => void submit(event), outcome };
}

function OwnPassword() {
  const { onSubmit, outcome } = useForm(async ({ current = '', next = '' }) => {
    await changePassword(current, next);
    return 'The password is changed; whoever was signed in with the old one is signed out.';
  });
  return (
    <form class="card" onSubmit={onSubmit}>
      <h2>Your password</h2>
      <label>
        The present one
        <input name="current" type="password" autocomplete="current-password" required />
      </label>
      <label>
        The new one, at least 10 characters
        <input name="next" type="password" autocomplete="new-password" minLength={10} required />
      </label>
      {outcome}
      <button type="submit">Change it</button>
    </form>
  );
}

function Everybody() {
  const [list, setList] = useState<readonly PersonAnswer[] | undefined>(undefined);
  const first = useAnswer(() => ask<readonly PersonAnswer[]>('GET', '/api/people'), []);
  const people = list ?? (first.state === 'here' ? first.value : []);
  const { onSubmit, outcome } = useForm(async ({ name, role, password }) => {
    setList(await ask<readonly PersonAnswer[]>('POST', '/api/people', { name, role, password }));
    return `${name ?? ''} may sign in.`;
  });
  const [problem, setProblem] = useState('');
  const remove = async (name: string): Promise<void> => {
    setProblem('');
    try {
      setList(await ask<readonly PersonAnswer[]>('DELETE', `/api/people/${encodeURIComponent(name)}`));
    } catch (error) {
      setProblem(wordsOf(error));
    }
  };
  return (
    <section class="card" aria-label="Who may sign in">
      <h2>Who may sign in</h2>
      <ul class="person-list">
        {people.map(({ name, role }) => (
          <li key={name}>
            <b>{name}</b> <span>{role}</span>
            {name === me.value?.name ? null : (
              <button type="button" onClick={() => void remove(name)}>
                Remove<span class="unseen"> {name}</span>
              </button>
            )}
          </li>
        ))}
      </ul>
      {first.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {first.state === 'failed' && list === undefined ? <NoAnswer failed={first} what="who may sign in" /> : null}
      <p class="problem" role="alert">
        {problem}
      </p>
      <form onSubmit={onSubmit}>
        <h3>Add somebody</h3>
        <label>
          Name, in small letters
          <input name="name" pattern="[a-z0-9][a-z0-9._\-]{0,39}" autocomplete="off" autocapitalize="none" required />
        </label>
        <label>
          May
          <select name="role">
            <option value="viewer">look (viewer)</option>
            <option value="technician">take alarms and write work down (technician)</option>
            <option value="engineer">everything (engineer)</option>
          </select>
        </label>
        <label>
          First password, at least 10 characters
          <input name="password" type="password" autocomplete="new-password" minLength={10} required />
        </label>
        {outcome}
        <button type="submit">Add</button>
      </form>
    </section>
  );
}
