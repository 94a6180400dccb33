import { useEffect, useState } from 'preact/hooks';
import type { BlankKey, StepKey } from '../../../agent/plan/job-card.js';
import { localTime } from '../../../agent/units/local-time.js';
import { blankText } from '../logic/card-blanks.js';
import {
  begun,
  faultsIn,
  isTicked,
  keptWords,
  othersWriting,
  settled,
  stepsAll,
  stepsLeft,
  textIn,
  ticked,
  typedIn,
  waits,
  type KeptCard,
} from '../logic/kept-card.js';
import { takeupHref } from '../logic/route.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { CardSections, type CardFilling } from '../parts/card-sections.js';
import { contextOf, keepCard, keptCard, keptSafely, loadCard, missingOf, sendFailed } from '../state/cards.js';
import { connection } from '../state/live.js';
import { isSignedOut, may, me, site, wordsOf } from '../state/session.js';
import { workTold } from '../state/work.js';
import { CardClosing } from './card-closing.js';
import { CardDropping } from './card-dropping.js';
import { CardOutcome } from './card-outcome.js';
import { OthersCard } from './others-card.js';

/** One job card: read and filled in at the take-up, printed, closed; kept on the device whatever the line does. */
export function CardScreen({ number }: { readonly number: string }) {
  const kept = keptCard(number).value;
  const [problem, setProblem] = useState('');
  const [asking, setAsking] = useState(false);
  const [times, setTimes] = useState(0);
  const again = (): void => {
    setAsking(true);
    setTimes(times + 1);
  };
  const told = kept === undefined ? 0 : workTold(kept.card.conveyor).value;
  const live = connection.value.state === 'live';
  useEffect(() => {
    loadCard(number)
      .then(
        () => setProblem(''),
        (error: unknown) => {
          if (isSignedOut(error)) me.value = null;
          else setProblem(wordsOf(error));
        },
      )
      .finally(() => setAsking(false));
  }, [number, told, live, times]);
  if (kept === undefined) {
    return (
      <section class="page">
        <h1>Job card {number}</h1>
        {problem === '' ? (
          <p class="quiet-words">Asking …</p>
        ) : (
          <NoAnswer failed={{ words: problem, asking, again }} what={`job card ${number}`} />
        )}
        <p>
          Go to the <a href="#/work">work</a>.
        </p>
      </section>
    );
  }
  return <Known number={number} kept={kept} problem={live ? problem : ''} />;
}

interface KnownProps {
  readonly number: string;
  readonly kept: KeptCard;
  /** Why the server's own copy could not be had. */
  readonly problem: string;
}

function Known({ number, kept, problem }: KnownProps) {
  const { card } = kept;
  const others = othersWriting(kept, me.value?.name ?? '');
  const locked = card.state !== 'open' || !may('record-work') || others !== undefined;
  const article = useKeptFocus<HTMLElement>();
  const { date, minutes } = localTime(Date.parse(card.madeAt), site.value?.timezone ?? 'UTC');
  return (
    <article ref={article} class={`page job-card ${card.state}`}>
      <header class="page-head">
        <h1>
          {card.title} <span class="where">Job card {card.number}</span>
        </h1>
        <button type="button" class="no-print" onClick={() => print()}>
          Print
        </button>
      </header>
      <p class="card-facts">
        {card.card.facts.map(({ label, text }) => (
          <span key={label}>
            {label}: {label === 'Take-up' ? <a href={takeupHref(card.conveyor, card.takeup)}>{text}</a> : <b>{text}</b>}
          </span>
        ))}
        <span>
          Drawn up by <b>{card.madeBy}</b>, {date} {minutes}
        </span>
      </p>
      <p class="card-basis">
        {[card.basis.sentence, ...card.basis.warnings, ...card.basis.assumed.map(({ sentence }) => sentence)].join(' ')}
      </p>
      {problem === '' ? null : (
        <p class="problem no-print" role="alert">
          {problem}
        </p>
      )}
      {others === undefined ? null : <OthersCard number={number} by={others} />}
      {locked ? null : <Beginning number={number} kept={kept} />}
      <CardOutcome card={card} />
      <CardSections card={card.card} filling={fillingOf(number, kept, locked)} />
      {locked ? null : <CardClosing number={number} kept={kept} />}
      {locked ? null : <CardDropping number={number} />}
      {locked ? null : <Kept kept={kept} />}
    </article>
  );
}

function fillingOf(number: string, kept: KeptCard, locked: boolean): CardFilling {
  const context = contextOf(kept);
  // What is written between two renderings is not lost: each change begins with what is kept by then.
  const change = (how: (now: KeptCard) => KeptCard): void => keepCard(number, how(keptCard(number).peek() ?? kept));
  const seenTo = (key: BlankKey | StepKey): void => {
    missingOf(number).value = { ...missingOf(number).value, [key]: undefined };
  };
  return {
    text: (key) => textIn(kept, key, context),
    isTicked: (key) => isTicked(kept, key),
    faults: { ...missingOf(number).value, ...faultsIn(kept, context) },
    theirs: (key) => {
      const clash = kept.clashes[key];
      return clash === undefined ? undefined : { text: blankText(key, clash.theirs, context), by: clash.by };
    },
    locked,
    onWrite: (key, text) => {
      seenTo(key);
      change((now) => typedIn(now, key, text));
    },
    onTick: (key, done) => {
      seenTo(key);
      const begins = key === 'open-service' && done && kept.card.begun === undefined;
      change((now) => (begins ? begun(now) : ticked(now, key, done)));
    },
    onSettle: (key, whose) => change((now) => settled(now, key, whose)),
  };
}

/** The first of the steps: a service is opened on the take-up, so that its alarms rest while somebody works on it. */
function Beginning({ number, kept }: { readonly number: string; readonly kept: KeptCard }) {
  const { begun: byNow } = kept.card;
  if (byNow !== undefined) {
    const { date, minutes } = localTime(Date.parse(byNow.at), site.value?.timezone ?? 'UTC');
    return (
      <p class="begun">
        Begun by <b>{byNow.by}</b>, {date} {minutes}: a service is open on the take-up, and its alarms rest.
      </p>
    );
  }
  return (
    <button
      type="button"
      class="begin no-print"
      aria-disabled={kept.beginning}
      onClick={() => keepCard(number, begun(keptCard(number).peek() ?? kept))}
    >
      {kept.beginning
        ? 'Begun here; the service is opened as soon as the server hears of it'
        : 'Begin the job: open a service on the take-up'}
    </button>
  );
}

/** How far the card is, and whether what is filled in is with the server: always in sight. */
function Kept({ kept }: { readonly kept: KeptCard }) {
  const context = contextOf(kept);
  const reachable = connection.value.state === 'live' && !sendFailed.value;
  const all = stepsAll(kept);
  const waiting = (!reachable && waits(kept, context)) || kept.refused !== undefined || !keptSafely.value;
  return (
    <div class={`kept no-print ${waiting ? 'waiting' : ''}`}>
      <span>
        {all - stepsLeft(kept).length} of {all} steps ticked
      </span>
      <span role="status">
        {keptWords(kept, reachable, context)}
        {keptSafely.value ? '' : ' This device keeps nothing beyond this page: do not close it before everything is sent.'}
      </span>
    </div>
  );
}
