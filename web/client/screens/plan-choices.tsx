import { useState } from 'preact/hooks';
import type { RemovalChoice } from '../../../agent/plan/removal-choice.js';
import type { RemovalPlan } from '../../../agent/plan/removal-plan.js';
import { pitchesText } from '../../../agent/plan/removal-words.js';
import type { RemovalAnswer } from '../../server/logic/plan-answers.js';
import { choiceRows, type ChoiceCell } from '../logic/choice-rows.js';
import { RemovalRuler } from '../parts/removal-ruler.js';
import { useNarrow } from '../parts/use-narrow.js';
import type { Place } from '../state/places.js';
import { may, units } from '../state/session.js';

/** Of a plan what all its choices share. */
type PlanHead = Omit<RemovalPlan, 'choices'>;

interface ChoicesProps {
  readonly place: Place;
  readonly removal: RemovalAnswer;
  /** Makes the job card of a choice; undefined while one is being made. */
  readonly onCard: ((choice: RemovalChoice) => void) | undefined;
}

/** The removals side by side: columns at a desk, cards on a phone; the recommended one is marked. */
export function PlanChoices({ place, removal, onCard }: ChoicesProps) {
  const narrow = useNarrow();
  const [all, setAll] = useState(false);
  const { plan, worthShowing } = removal;
  const every = removal.choices.map(({ choice }) => choice);
  const choices = all ? every : every.filter(({ pitches }) => worthShowing.includes(pitches));
  const left = every.length - choices.length;
  const shown = { place, plan, choices, onCard };
  return (
    <section class="choices">
      <h2>Removals, side by side</h2>
      {narrow ? <Cards {...shown} /> : <Columns {...shown} />}
      {left === 0 && !all ? null : (
        <button type="button" onClick={() => setAll(!all)}>
          {all ? 'Show fewer' : `Show the ${String(left)} other ${left === 1 ? 'length' : 'lengths'} too`}
        </button>
      )}
    </section>
  );
}

interface ShownProps {
  readonly place: Place;
  readonly plan: PlanHead;
  readonly choices: readonly RemovalChoice[];
  readonly onCard: ChoicesProps['onCard'];
}

function Columns({ place, plan, choices, onCard }: ShownProps) {
  return (
    <div class="choice-frame" tabIndex={0} role="region" aria-label="Removals, side by side">
      <table class="choice-table">
        <thead>
          <tr>
            <th scope="col">Take out</th>
            {choices.map((choice) => (
              <th scope="col" key={choice.pitches} class={moodOf(plan, choice)}>
                <Name plan={plan} choice={choice} />
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          <tr>
            <th scope="row">On the ruler</th>
            {choices.map((choice) => (
              <td key={choice.pitches} class={moodOf(plan, choice)}>
                <RemovalRuler takeup={place.takeup} plan={plan} choice={choice} />
              </td>
            ))}
          </tr>
          {choiceRows(plan, choices, units.value).map(({ label, hint, cell }) => (
            <tr key={label}>
              <th scope="row">
                {label}
                {hint === undefined ? null : <span class="hint">{hint}</span>}
              </th>
              {choices.map((choice) => (
                <td key={choice.pitches} class={moodOf(plan, choice)}>
                  <Cell {...cell(choice)} />
                </td>
              ))}
            </tr>
          ))}
          {may('record-work') ? (
            <tr>
              <th scope="row">Job card</th>
              {choices.map((choice) => (
                <td key={choice.pitches} class={moodOf(plan, choice)}>
                  <CardButton choice={choice} onCard={onCard} />
                </td>
              ))}
            </tr>
          ) : null}
        </tbody>
      </table>
    </div>
  );
}

function Cards({ place, plan, choices, onCard }: ShownProps) {
  const rows = choiceRows(plan, choices, units.value);
  return (
    <ul class="choice-cards">
      {choices.map((choice) => (
        <li key={choice.pitches} class={`choice-card ${moodOf(plan, choice)}`}>
          <h3>
            <Name plan={plan} choice={choice} />
          </h3>
          <RemovalRuler takeup={place.takeup} plan={plan} choice={choice} />
          <dl>
            {rows.map(({ label, cell }) => (
              <div key={label} class="figure-line">
                <dt>{label}</dt>
                <dd>
                  <Cell {...cell(choice)} />
                </dd>
              </div>
            ))}
          </dl>
          {may('record-work') && choice.stops.length === 0 ? <CardButton choice={choice} onCard={onCard} /> : null}
        </li>
      ))}
    </ul>
  );
}

function Name({ plan, choice }: { readonly plan: PlanHead; readonly choice: RemovalChoice }) {
  const recommended = plan.recommended?.pitches === choice.pitches;
  return (
    <>
      <span class="choice-name">{pitchesText(choice.pitches)}</span>
      {recommended ? (
        <span class="recommended">
          <svg viewBox="0 0 12 12" aria-hidden="true">
            <path d="M6 0 12 6 6 12 0 6Z" />
          </svg>
          recommended
        </span>
      ) : null}
    </>
  );
}

function Cell({ text, note, bad = false }: ChoiceCell) {
  return (
    <span class={bad ? 'cell bad' : 'cell'}>
      {bad ? (
        <svg class="bad-mark" viewBox="0 0 12 12" role="img" aria-label="not kept:">
          <path d="M2 2 10 10 M10 2 2 10" />
        </svg>
      ) : null}
      {text}
      {note === undefined ? null : <span class="note">{note}</span>}
    </span>
  );
}

function CardButton({ choice, onCard }: { readonly choice: RemovalChoice; readonly onCard: ChoicesProps['onCard'] }) {
  if (choice.stops.length > 0) return <span class="quiet-words">cannot be made</span>;
  return (
    <button
      type="button"
      disabled={onCard === undefined}
      aria-label={`Make the job card for ${pitchesText(choice.pitches)}`}
      onClick={() => onCard?.(choice)}
    >
      Make the job card
    </button>
  );
}

function moodOf(plan: PlanHead, { pitches, stops }: RemovalChoice): string {
  if (plan.recommended?.pitches === pitches) return 'chosen';
  return stops.length > 0 ? 'not-possible' : '';
}
