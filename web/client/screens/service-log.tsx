import type { EntryAnswer } from '../../server/logic/work-answers.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { ask } from '../state/api.js';
import type { Place } from '../state/places.js';
import { may } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { workTold } from '../state/work.js';
import { EntryForm } from './entry-form.js';
import { LogEntry } from './service-log-entry.js';

/** So many are shown before the rest is folded away. */
const SHOWN = 8;

/** What people did to a take-up and to its conveyor's chain, latest first, and the form to write down more. */
export function ServiceLog({ conveyor, takeup }: Place) {
  const path = `/api/takeups/${encodeURIComponent(conveyor.id)}/${encodeURIComponent(takeup.id)}/entries`;
  const answer = useAnswer(() => ask<readonly EntryAnswer[]>('GET', path), [path, workTold(conveyor.id).value]);
  const section = useKeptFocus<HTMLElement>();
  return (
    <section ref={section} class="service-log" aria-label="Service log">
      <h2>Service log</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="the service log" /> : null}
      {answer.state === 'here' ? <Entries entries={answer.value} /> : null}
      {may('record-work') ? <EntryForm conveyor={conveyor} takeup={takeup} /> : null}
    </section>
  );
}

function Entries({ entries }: { readonly entries: readonly EntryAnswer[] }) {
  if (entries.length === 0) return <p class="quiet-words">Nothing has been written down yet.</p>;
  const folded = entries.slice(SHOWN);
  return (
    <div>
      <List entries={entries.slice(0, SHOWN)} />
      {folded.length === 0 ? null : (
        <details>
          <summary>{folded.length} earlier</summary>
          <List entries={folded} />
        </details>
      )}
    </div>
  );
}

function List({ entries }: { readonly entries: readonly EntryAnswer[] }) {
  return (
    <ul class="entry-list">
      {entries.map((entry) => (
        <LogEntry key={entry.id} entry={entry} />
      ))}
    </ul>
  );
}
