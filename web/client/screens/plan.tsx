import { useState } from 'preact/hooks';
import type { CardAnswer, CardJob, CardRequest } from '../../server/logic/card-answers.js';
import type { BasisAnswer, PlanAnswer, RemovalAnswer } from '../../server/logic/plan-answers.js';
import { headlineOf } from '../logic/removal-headline.js';
import { takeupHref } from '../logic/route.js';
import { NOTHING_WISHED, readWish } from '../logic/wish-query.js';
import { cardHref } from '../logic/work-route.js';
import { CautionList } from '../parts/caution-list.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { findPlace, type Place } from '../state/places.js';
import { units, wordsOf } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { useSettled } from '../state/use-settled.js';
import { newRequest } from '../state/work.js';
import { PlanChoices } from './plan-choices.js';
import { PlanLoop } from './plan-loop.js';
import { PlanNuts } from './plan-nuts.js';
import { PlanWish } from './plan-wish.js';

/** What can be done about a take-up: chain to take out, nuts to turn, and what the loop asks for. */
export function PlanScreen({ conveyor, takeup }: { readonly conveyor: string; readonly takeup: string }) {
  const place = findPlace(conveyor, takeup);
  if (place === undefined) {
    return (
      <section class="page">
        <h1>There is no such take-up</h1>
        <p>
          The site file has no take-up “{takeup}” on a conveyor “{conveyor}”. Go to the <a href="#/work">work</a>.
        </p>
      </section>
    );
  }
  return <Known place={place} />;
}

function Known({ place }: { readonly place: Place }) {
  const { conveyor, takeup } = place;
  const [typed, setTyped] = useState(NOTHING_WISHED);
  // A plan that changed under the reader's eyes could not be read: it keeps the figures it began with until it is asked anew.
  const [asked, setAsked] = useState(0);
  const query = useSettled(new URLSearchParams({ ...readWish(typed, units.value).query, units: units.value }).toString());
  const path = `/api/takeups/${encodeURIComponent(conveyor.id)}/${encodeURIComponent(takeup.id)}/plan?${query}`;
  const answer = useAnswer(() => ask<PlanAnswer>('GET', path), [path, asked]);
  return (
    <article class="page plan">
      <header class="page-head">
        <h1>
          Plan work: <a href={takeupHref(conveyor.id, takeup.id)}>{`${conveyor.name} ${takeup.id}`}</a>
        </h1>
        <p class="where">{takeup.location}</p>
      </header>
      <CautionList />
      {answer.state === 'loading' ? <p class="quiet-words">Planning …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="the plan" /> : null}
      {answer.state === 'here' ? (
        <>
          <Verdict answer={answer.value} onAnew={() => setAsked(asked + 1)} />
          <PlanWish typed={typed} hasCarriers={conveyor.carriers !== undefined} needed={answer.value.removal === null} onType={setTyped} />
          <Plans place={place} answer={answer.value} wish={readWish(typed, units.value).query} />
        </>
      ) : null}
      <PlanLoop conveyor={conveyor} takeup={takeup} asked={asked} />
    </article>
  );
}

function Verdict({ answer: { basis, refused, removal }, onAnew }: { readonly answer: PlanAnswer; readonly onAnew: () => void }) {
  return (
    <section class="verdict">
      <h2>{removal === null ? 'Nothing can be planned now' : headline(removal)}</h2>
      {(removal?.sentences ?? refused).map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <Basis basis={basis} />
      <button type="button" onClick={onAnew}>
        Take the figures anew
      </button>
    </section>
  );
}

function headline({ plan, choices }: RemovalAnswer): string {
  return headlineOf(plan, choices.find(({ recommended }) => recommended)?.choice, units.value);
}

/** What the plan rests on, and what makes it doubtful. */
function Basis({ basis: { sentence, warnings, assumed } }: { readonly basis: BasisAnswer }) {
  const unsure = [...warnings, ...assumed.map((one) => one.sentence)];
  return (
    <>
      <p class="as-of">{sentence}</p>
      {unsure.length === 0 ? null : (
        <section class="unsure" aria-label="What is not known">
          <h3>What is not known</h3>
          <ul>
            {unsure.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

interface PlansProps {
  readonly place: Place;
  readonly answer: PlanAnswer;
  readonly wish: Readonly<Record<string, string>>;
}

/** The removals and the nuts, and the card that is made of one of them: of the very plan that is looked at. */
function Plans({ place, answer, wish }: PlansProps) {
  const { conveyor, takeup } = place;
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState('');
  // One name a choice as long as the plan is shown: a second click makes no second card.
  const [requests] = useState(() => new Map<string, string>());
  const make = async (job: CardJob): Promise<void> => {
    const key = JSON.stringify([job, wish]);
    const request = requests.get(key) ?? newRequest();
    requests.set(key, request);
    setBusy(true);
    setProblem('');
    const body: CardRequest = { request, conveyor: conveyor.id, takeup: takeup.id, job, wish: { ...wish, units: units.value } };
    try {
      const card = await ask<CardAnswer>('POST', '/api/cards', body);
      location.hash = cardHref(String(card.number));
    } catch (error) {
      setProblem(wordsOf(error));
      setBusy(false);
    }
  };
  const onCard = busy ? undefined : (job: CardJob) => void make(job);
  return (
    <>
      <p class="problem" role="alert">
        {problem}
      </p>
      {answer.removal === null ? null : (
        <PlanChoices
          place={place}
          removal={answer.removal}
          onCard={onCard === undefined ? undefined : ({ pitches }) => onCard({ kind: 'removal', pitches })}
        />
      )}
      {answer.nuts === null ? null : <PlanNuts nuts={answer.nuts} figures={answer.basis.figures} onCard={onCard} />}
    </>
  );
}
