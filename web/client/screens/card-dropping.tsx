import { useState } from 'preact/hooks';
import { dropJobCard } from '../state/cards.js';
import { wordsOf } from '../state/session.js';

/** Gives a job up that will not be done: the card stays to be read, with the reason. */
export function CardDropping({ number }: { readonly number: string }) {
  const [why, setWhy] = useState('');
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  const drop = async (): Promise<void> => {
    if (busy) return;
    if (why.trim() === '') {
      setProblem('Write why, so that whoever looks for it knows.');
      return;
    }
    setBusy(true);
    setProblem('');
    try {
      await dropJobCard(number, why.trim());
    } catch (error) {
      setProblem(wordsOf(error));
      setBusy(false);
    }
  };
  return (
    <details class="drop-card no-print">
      <summary>This job will not be done</summary>
      <label>
        Why
        <input type="text" maxLength={500} value={why} onInput={(event) => setWhy(event.currentTarget.value)} />
      </label>
      <p class="problem" role="alert">
        {problem}
      </p>
      <button type="button" aria-disabled={busy} onClick={() => void drop()}>
        Drop the card
      </button>
    </details>
  );
}
