import { localTime } from '../../../agent/units/local-time.js';
import type { CardAnswer, CardEntryAnswer } from '../../server/logic/card-answers.js';
import type { VerificationAnswer } from '../../server/logic/verification-answers.js';
import { entrySentence } from '../logic/work-words.js';
import { site, units } from '../state/session.js';

/** What became of a card: who ended it, what it wrote into the service log, and what the carriage says afterwards. */
export function CardOutcome({ card: { state, ended, entries, verification } }: { readonly card: CardAnswer }) {
  if (state === 'open' && entries.length === 0) return null;
  return (
    <section class="card-outcome" aria-label="What became of it">
      {ended === undefined ? null : (
        <p>
          {state === 'dropped' ? 'Dropped' : 'Closed'} by <b>{ended.by}</b>, {momentOf(ended.at)}
          {ended.why === undefined ? '' : `: ${ended.why}`}
        </p>
      )}
      {verification === undefined ? null : <Verification verification={verification} />}
      {entries.length === 0 ? null : (
        <>
          <h2>Written into the service log</h2>
          <ul class="plain-list">
            {entries.map((entry) => (
              <Written key={entry.id} entry={entry} />
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

const DOUBTFUL: ReadonlySet<VerificationAnswer['verdict']> = new Set(['count-differs', 'plan-differs', 'springs-differ']);

function Verification({ verification: { verdict, sentence, asOf } }: { readonly verification: VerificationAnswer }) {
  const doubtful = DOUBTFUL.has(verdict);
  return (
    <p class={`verification ${doubtful ? 'doubtful' : ''}`} role="status">
      <svg viewBox="0 0 12 12" aria-hidden="true">
        {doubtful ? <path d="M6 1 11.5 11 H0.5 Z" /> : <circle cx="6" cy="6" r="4" />}
      </svg>
      <span>
        <b>What the carriage says: {sentence}</b>
        {asOf === undefined ? null : <span class="note"> {momentOf(asOf)}</span>}
      </span>
    </p>
  );
}

function Written({ entry: { entry, state, why } }: { readonly entry: CardEntryAnswer }) {
  const what = entrySentence(entry, units.value);
  if (state === 'recorded') return <li>{what}</li>;
  return (
    <li class="problem">
      {what}: {state === 'refused' ? `refused, ${why ?? 'without a reason'}` : 'the agent has not answered; closing again finds out'}
    </li>
  );
}

function momentOf(iso: string): string {
  const { date, minutes } = localTime(Date.parse(iso), site.value?.timezone ?? 'UTC');
  return `${date} ${minutes}`;
}
