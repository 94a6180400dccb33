import type { BlankForm, BlankKey } from '../../../agent/plan/job-card.js';
import { blankLook, choiceWords } from '../logic/card-blanks.js';
import { ClockInput } from './clock-input.js';
import { FaultWords } from './entry-field.js';

interface CardBlankProps {
  readonly blank: BlankKey;
  readonly label: string;
  readonly form: BlankForm;
  readonly unit: string | undefined;
  readonly value: string;
  readonly fault: string | undefined;
  readonly theirs: { readonly text: string; readonly by: string } | undefined;
  readonly locked: boolean;
  readonly onWrite: (value: string) => void;
  readonly onSettle: (whose: 'mine' | 'theirs') => void;
}

/** One blank of a card: on a phone a field for a gloved thumb, on paper a line. */
export function CardBlank({ blank, label, form, unit, value, fault, theirs, locked, onWrite, onSettle }: CardBlankProps) {
  const look = blankLook(form);
  const id = `blank-${blank}`;
  const shownLabel = NAMES[blank] ?? label;
  const shared = {
    id,
    name: blank,
    value,
    disabled: locked,
    'aria-invalid': fault !== undefined,
    ...(fault === undefined ? {} : { 'aria-describedby': `${id}-fault` }),
  };
  return (
    <div class={`blank blank-${look} ${value === '' ? 'empty' : ''}`}>
      <label for={id}>
        {shownLabel}
        {unit === undefined ? '' : `, ${unit}`}
      </label>
      {form.takes === 'choice' ? (
        <select {...shared} onChange={(event) => onWrite(event.currentTarget.value)}>
          <option value=""> </option>
          {form.choices.map((choice) => (
            <option key={choice} value={choice}>
              {choiceWords(blank, choice)}
            </option>
          ))}
        </select>
      ) : look === 'lines' ? (
        <textarea {...shared} rows={2} maxLength={2000} onInput={(event) => onWrite(event.currentTarget.value)} />
      ) : look === 'time' ? (
        <ClockInput
          {...{ id, fault, value }}
          name={blank}
          kind="moment"
          label={shownLabel}
          disabled={locked}
          onValue={onWrite}
          onOther={onWrite}
        />
      ) : (
        <input
          {...shared}
          type="text"
          inputMode={INPUT_MODES[look] ?? 'text'}
          autocomplete="off"
          maxLength={120}
          onInput={(event) => onWrite(event.currentTarget.value)}
        />
      )}
      {look === 'time' ? null : <FaultWords id={`${id}-fault`} fault={fault} />}
      {theirs === undefined ? null : (
        <div class="buttons" role="group" aria-label={`${label}: which holds?`}>
          <span class="problem">
            {theirs.by} wrote “{theirs.text}” here.
          </span>
          <button type="button" onClick={() => onSettle('mine')}>
            Keep mine
          </button>
          <button type="button" onClick={() => onSettle('theirs')}>
            Take “{theirs.text}”
          </button>
        </div>
      )}
    </div>
  );
}

/** On paper they stand behind the name that they belong to; one by one they are called by what they are. */
const NAMES: Readonly<Partial<Record<BlankKey, string>>> = { 'locked-at': 'Locked at', 'done-at': 'Done at' };

/** `decimal` has no minus on some phones, so turns take the whole keyboard. */
const INPUT_MODES: Readonly<Partial<Record<ReturnType<typeof blankLook>, 'numeric' | 'decimal'>>> = { count: 'numeric', length: 'decimal' };
