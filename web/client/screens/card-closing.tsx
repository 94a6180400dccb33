import { useRef, useState } from 'preact/hooks';
import { stepsLeft, type KeptCard } from '../logic/kept-card.js';
import { focusIt } from '../parts/focus-it.js';
import { keepCard, keptCard, missingOf } from '../state/cards.js';

/** Ends the job: what was done goes into the service log. What was left out is said once more before. */
export function CardClosing({ number, kept }: { readonly number: string; readonly kept: KeptCard }) {
  const [asked, setAsked] = useState(false);
  const wentBack = useRef(false);
  const left = stepsLeft(kept);
  const lacks = Object.values(missingOf(number).value).filter((sentence) => sentence !== undefined);
  const goBack = (): void => {
    wentBack.current = true;
    setAsked(false);
  };
  const close = (): void => {
    if (kept.closing) return;
    setAsked(false);
    keepCard(number, { ...(keptCard(number).peek() ?? kept), closing: true });
  };
  return (
    <section class="close-card no-print" aria-labelledby="close-card">
      <h2 id="close-card">Close the card</h2>
      <p>
        What stands under “Done” goes into the service log as it really was, and the service on the take-up is closed. After an hour of
        running the carriage says whether it fits.
      </p>
      {lacks.length === 0 ? null : (
        <ul class="plain-list" role="alert">
          {lacks.map((sentence) => (
            <li key={sentence} class="problem">
              {sentence}
            </li>
          ))}
        </ul>
      )}
      {asked && left.length > 0 ? (
        <div role="alertdialog" aria-label="Something is open">
          <p class="problem">{left.length === 1 ? 'One step is not ticked:' : `${String(left.length)} steps are not ticked:`}</p>
          <ul class="left-open">
            {left.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
          <div class="buttons">
            <button type="button" onClick={close}>
              Close it all the same
            </button>
            <button ref={focusIt} type="button" onClick={goBack}>
              Go back to the card
            </button>
          </div>
        </div>
      ) : (
        <button
          ref={wentBack.current ? focusIt : null}
          type="button"
          aria-disabled={kept.closing}
          onClick={() => (left.length > 0 ? setAsked(true) : close())}
        >
          Close the card
        </button>
      )}
    </section>
  );
}
