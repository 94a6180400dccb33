import { useId } from 'preact/hooks';
import type { UnitSystem } from '../../../agent/units/display.js';
import { labelOf, usualText, type EntryField, type FieldName } from '../logic/entry-fields.js';

interface EntryFieldInputProps {
  readonly field: EntryField;
  readonly units: UnitSystem;
  /** Undefined until somebody touches it. */
  readonly typed: string | undefined;
  readonly fault: string | undefined;
  readonly onType: (name: FieldName, value: string) => void;
}

/** One field of an entry with its label, its unit and what is wrong with it. */
export function EntryFieldInput({ field, units, typed, fault, onType }: EntryFieldInputProps) {
  // A form to write down and one to correct may stand on the same page: each field has a name of its own.
  const id = useId();
  const shared = {
    id,
    name: field.name,
    value: typed ?? usualText(field, units),
    'aria-invalid': fault !== undefined,
    ...(fault === undefined ? {} : { 'aria-describedby': `${id}-fault` }),
  };
  return (
    <div class={`entry-field ${field.type === 'long-words' ? 'long' : ''}`}>
      <label for={id}>
        {labelOf(field, units)}
        {field.required ? '' : <span class="hint"> (may be left out)</span>}
      </label>
      {field.type === 'choice' ? (
        <select {...shared} onChange={(event) => onType(field.name, event.currentTarget.value)}>
          <option value="">choose</option>
          {field.choices?.map(([value, words]) => (
            <option key={value} value={value}>
              {words}
            </option>
          ))}
        </select>
      ) : field.type === 'long-words' ? (
        <textarea {...shared} rows={2} maxLength={1000} onInput={(event) => onType(field.name, event.currentTarget.value)} />
      ) : (
        <input
          {...shared}
          type="text"
          autocomplete="off"
          inputMode={INPUT_MODES[field.type] ?? 'text'}
          maxLength={200}
          onInput={(event) => onType(field.name, event.currentTarget.value)}
        />
      )}
      <FaultWords id={`${id}-fault`} fault={fault} />
    </div>
  );
}

/** Which keys a phone shows; `decimal` has no minus on some, so a number that may be negative takes the whole keyboard. */
const INPUT_MODES: Readonly<Partial<Record<EntryField['type'], 'numeric' | 'decimal'>>> = {
  count: 'numeric',
  length: 'decimal',
  rate: 'decimal',
};

/** What is wrong with a field, beside it. */
export function FaultWords({ id, fault }: { readonly id: string; readonly fault: string | undefined }) {
  return fault === undefined ? null : (
    <span id={id} class="problem field-fault">
      {fault}
    </span>
  );
}
