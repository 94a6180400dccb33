import { useState } from 'preact/hooks';
import type { BenchKept } from '../../../agent/contract/bench-questions.js';
import { BOTH_TIMES } from '../logic/bench-words.js';
import { fromField, toField } from '../logic/site-clock.js';
import { fieldsOf } from '../parts/form-fields.js';
import { MomentField } from '../parts/moment-field.js';
import { keepStretch, results, save } from '../state/bench.js';
import { wordsOf } from '../state/session.js';

const MINUTE_MS = 60_000;

/** Keeps a stretch as a test: what it gives today is expected from then on. */
export function BenchKeep() {
  const [kept, setKept] = useState<BenchKept | undefined>(undefined);
  const [problem, setProblem] = useState('');
  // As long as the recording, until somebody types otherwise.
  const [typed, setTyped] = useState<{ readonly from?: string; readonly to?: string }>({});
  const result = results.value.a;
  if (result === undefined) return null;
  const { firstMs, lastMs, timezone } = result;
  const { from = toField(firstMs, timezone), to = toField(lastMs, timezone) } = typed;
  const keep = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    const { name = '', teaches = '' } = fieldsOf(event.currentTarget);
    const [fromMs, toMs] = [fromField(from, timezone), fromField(to, timezone)];
    setKept(undefined);
    setProblem('');
    if (fromMs === undefined || toMs === undefined) {
      setProblem(BOTH_TIMES);
      return;
    }
    try {
      // The fields say minutes: the last one is meant whole.
      setKept(await keepStretch(name, teaches, fromMs, Math.min(lastMs, toMs + MINUTE_MS)));
    } catch (error) {
      setProblem(wordsOf(error));
    }
  };
  return (
    <section aria-labelledby="bench-keep">
      <h2 id="bench-keep">Keep it as a test</h2>
      <form class="card" onSubmit={(event) => void keep(event)}>
        <p class="quiet-words">
          The site, the readings, the entries and what a replay of them says today go into a folder. Look through what is expected before
          you trust it; takeline fixture --check says from then on what differs.
        </p>
        <div class="bench-settings">
          <label>
            Name, in small letters
            <input name="name" pattern="[a-z0-9][a-z0-9\-]{0,63}" required autocomplete="off" autocapitalize="none" />
          </label>
          <MomentField label="From" value={from} onChange={(value) => setTyped({ ...typed, from: value })} />
          <MomentField label="To" value={to} onChange={(value) => setTyped({ ...typed, to: value })} />
        </div>
        <label>
          What it teaches, in a sentence
          <input name="teaches" maxLength={1000} />
        </label>
        <p class="problem" role="alert">
          {problem}
        </p>
        <button type="submit">Keep this stretch</button>
      </form>
      {kept === undefined ? null : (
        <div class="card" role="status">
          <p class="done">Kept on the server in {kept.folder}</p>
          <ul class="bench-told">
            {kept.files.map(({ name, text }) => (
              <li key={name}>
                <button type="button" class="plain" onClick={() => void save(name.split('/').at(-1) ?? name, new Blob([text]))}>
                  Save {name}
                </button>
              </li>
            ))}
          </ul>
        </div>
      )}
    </section>
  );
}
