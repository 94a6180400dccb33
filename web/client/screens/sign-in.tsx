import { useState } from 'preact/hooks';
import { Footer } from '../parts/footer.js';
import { fieldsOf } from '../parts/form-fields.js';
import { sessionEnded, signIn, wordsOf } from '../state/session.js';

/** Name and password, and what is wrong with them. */
export function SignInScreen() {
  const [problem, setProblem] = useState('');
  const [busy, setBusy] = useState(false);
  const submit = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    if (busy) return;
    const { name = '', password = '' } = fieldsOf(event.currentTarget);
    setBusy(true);
    setProblem('');
    try {
      await signIn(name, password);
    } catch (error) {
      setProblem(wordsOf(error));
      setBusy(false);
    }
  };
  return (
    <div class="sign-in">
      <main>
        <img src="/icon.svg" alt="" width="56" height="56" />
        <h1>Takeline</h1>
        {sessionEnded.value ? <p role="status">Your session has ended. Sign in again, and you are where you were.</p> : null}
        <form onSubmit={(event) => void submit(event)}>
          <label>
            Name
            <input name="name" autocomplete="username" autocapitalize="none" required />
          </label>
          <label>
            Password
            <input name="password" type="password" autocomplete="current-password" required />
          </label>
          <p class="problem" role="alert">
            {problem}
          </p>
          <button type="submit" aria-disabled={busy}>
            Sign in
          </button>
        </form>
        <p class="hint">
          At the first start there is one person, <b>engineer</b>. The password was printed where Takeline was started, and is kept in its
          data folder under <code class="whole">secrets/web-engineer.txt</code> until it is changed.
        </p>
      </main>
      <Footer />
    </div>
  );
}
