import { localTime } from '../../../agent/units/local-time.js';
import type { CardHead } from '../../server/logic/card-answers.js';
import { cardHref } from '../logic/work-route.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { placeWords } from '../state/places.js';
import { site } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { anyWorkTold } from '../state/work.js';

/** So many closed cards are shown. */
const CLOSED = 5;

/** Job cards that are open, and the last that were closed with what the carriage says of them. */
export function WorkCards() {
  const answer = useAnswer(() => ask<readonly CardHead[]>('GET', '/api/cards'), [anyWorkTold.value]);
  if (answer.state !== 'here') {
    return (
      <section>
        <h2>Open jobs</h2>
        {answer.state === 'failed' ? <NoAnswer failed={answer} what="open jobs" /> : <p class="quiet-words">Asking …</p>}
      </section>
    );
  }
  const open = answer.value.filter(({ state }) => state === 'open');
  const closed = answer.value.filter(({ state }) => state === 'closed').slice(0, CLOSED);
  return (
    <>
      <section>
        <h2>Open jobs</h2>
        {open.length === 0 ? <p class="quiet-words">None is open. A job card is made where work is planned.</p> : null}
        <ul class="work-list">
          {open.map((card) => (
            <OpenCard key={card.number} card={card} />
          ))}
        </ul>
      </section>
      {closed.length === 0 ? null : (
        <section>
          <h2>Jobs done last</h2>
          <ul class="work-list">
            {closed.map((card) => (
              <ClosedCard key={card.number} card={card} />
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

function OpenCard({ card }: { readonly card: CardHead }) {
  const { number, title, madeBy, madeAt, begun, steps } = card;
  return (
    <li class="work-item">
      <h3>
        {title} <span class="where">{placeWords(card)}</span>
      </h3>
      <div class="work-why">
        <p>
          {begun === undefined
            ? `Drawn up by ${madeBy}, ${momentOf(madeAt)}; not begun`
            : `Begun by ${begun.by}, ${momentOf(begun.at)}: ${String(steps.done)} of ${String(steps.all)} steps ticked`}
        </p>
      </div>
      <a class="button" href={cardHref(String(number))} aria-label={`Open job card ${String(number)}: ${title}, ${placeWords(card)}`}>
        Card {number}
      </a>
    </li>
  );
}

function ClosedCard({ card }: { readonly card: CardHead }) {
  const { number, title, ended, verification } = card;
  return (
    <li class="work-item">
      <h3>
        {title} <span class="where">{placeWords(card)}</span>
      </h3>
      <div class="work-why">
        <p>
          Closed by {ended?.by ?? 'somebody'}
          {ended === undefined ? '' : `, ${momentOf(ended.at)}`}
        </p>
        {verification === undefined ? null : <p>{verification.sentence}</p>}
      </div>
      <a class="button" href={cardHref(String(number))} aria-label={`Open job card ${String(number)}: ${title}, ${placeWords(card)}`}>
        Card {number}
      </a>
    </li>
  );
}

function momentOf(iso: string): string {
  const { date, minutes } = localTime(Date.parse(iso), site.value?.timezone ?? 'UTC');
  return `${date} ${minutes}`;
}
