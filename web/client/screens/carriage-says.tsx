import { useComputed } from '@preact/signals';
import { useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { FindingAnswer } from '../../server/logic/work-answers.js';
import { findingStateWords, mayBeRecorded } from '../logic/finding-state.js';
import { takeupHref } from '../logic/route.js';
import { textInUnits } from '../logic/text-units.js';
import { entryWords, findingWords } from '../logic/work-words.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { ask } from '../state/api.js';
import { NOT_HEARD_OF_IT_WORDS, takeupNow } from '../state/live.js';
import { placeWords, type Place } from '../state/places.js';
import { say } from '../state/said.js';
import { may, site, units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { useDoing } from '../state/use-doing.js';
import { judgeFinding, newRequest, workTold } from '../state/work.js';

/** So many are shown before the rest is folded away. */
const SHOWN = 5;

/** What the carriage says, latest first: a person confirms or rejects with one click what it takes a move for. */
export function CarriageSays({ conveyor, takeup }: Place) {
  const path = `/api/takeups/${encodeURIComponent(conveyor.id)}/${encodeURIComponent(takeup.id)}/findings`;
  const answer = useAnswer(() => ask<readonly FindingAnswer[]>('GET', path), [path, workTold(conveyor.id).value]);
  const section = useKeptFocus<HTMLElement>();
  const heard = useComputed(() => takeupNow(conveyor.id, takeup.id).value !== undefined);
  return (
    <section ref={section} class="findings" aria-label="What the carriage says">
      <h2>What the carriage says</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="what the carriage says" /> : null}
      {answer.state === 'here' ? <Findings findings={answer.value} heard={heard.value} /> : null}
    </section>
  );
}

function Findings({ findings, heard }: { readonly findings: readonly FindingAnswer[]; readonly heard: boolean }) {
  if (findings.length === 0) return <p class="quiet-words">{heard ? 'Nothing beyond wear and heat so far.' : NOT_HEARD_OF_IT_WORDS}</p>;
  // What waits for a person is never folded away.
  const shown = findings.filter((finding, index) => index < SHOWN || mayBeRecorded(finding));
  const folded = findings.filter((finding) => !shown.includes(finding));
  return (
    <>
      <FindingList findings={shown} />
      {folded.length === 0 ? null : (
        <details>
          <summary>{folded.length} earlier</summary>
          <FindingList findings={folded} />
        </details>
      )}
    </>
  );
}

interface FindingListProps {
  readonly findings: readonly FindingAnswer[];
  /** Where findings of several take-ups stand together. */
  readonly withPlace?: boolean;
}

/** Findings with what became of them; one that waits for a person has the buttons to judge it. */
export function FindingList({ findings, withPlace = false }: FindingListProps) {
  return (
    <ul class="finding-list">
      {findings.map((finding) => (
        <Finding key={finding.id} finding={finding} withPlace={withPlace} />
      ))}
    </ul>
  );
}

function Finding({ finding, withPlace }: { readonly finding: FindingAnswer; readonly withPlace: boolean }) {
  const { date, minutes } = localTime(finding.toMs, site.value?.timezone ?? 'UTC');
  const head = `${findingWords(finding.finding)}, ${withPlace ? `${placeWords(finding)}, ` : ''}${date} ${minutes}`;
  return (
    <li class={`finding ${finding.state}`} aria-label={head}>
      <h3>
        {findingWords(finding.finding)}{' '}
        {withPlace ? (
          <a class="where" href={takeupHref(finding.conveyor, finding.takeup)}>
            {placeWords(finding)}
          </a>
        ) : null}{' '}
        <span class="since">{`${date} ${minutes}`}</span>
      </h3>
      <p class="finding-state">{findingStateWords(finding)}</p>
      <p class="finding-text">{textInUnits(finding.text, units.value)}</p>
      {mayBeRecorded(finding) && may('record-work') ? <Judge finding={finding} head={head} /> : null}
      {withPlace && !mayBeRecorded(finding) ? (
        <div class="judge">
          <a class="button" href={takeupHref(finding.conveyor, finding.takeup)} aria-label={`Go to the take-up (${head})`}>
            Go to the take-up
          </a>
        </div>
      ) : null}
    </li>
  );
}

function Judge({ finding, head }: { readonly finding: FindingAnswer; readonly head: string }) {
  const { busy, problem, run } = useDoing();
  // One name for each of the two as long as the finding is shown: a second click is the same click.
  const [requests] = useState(() => ({ confirm: newRequest(), reject: newRequest() }));
  const suggests = entryWords(finding.suggestion ?? {}, units.value);
  const judge = async (verdict: 'confirm' | 'reject'): Promise<void> => {
    const { conveyor, takeup, id } = finding;
    if (!(await run(() => judgeFinding(verdict, { request: requests[verdict], conveyor, takeup, finding: id })))) return;
    say(verdict === 'confirm' ? `Recorded: ${suggests}.` : `Not so: ${head}.`);
  };
  return (
    <div class="judge">
      <button type="button" aria-disabled={busy} aria-label={`Record it: ${suggests} (${head})`} onClick={() => void judge('confirm')}>
        Record it: {suggests}
      </button>
      <button type="button" aria-disabled={busy} aria-label={`Not so (${head})`} onClick={() => void judge('reject')}>
        Not so
      </button>
      <p class="problem" role="alert">
        {problem}
      </p>
    </div>
  );
}
