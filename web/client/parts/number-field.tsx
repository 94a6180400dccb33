import { useId } from 'preact/hooks';
import { FaultWords } from './entry-field.js';

interface NumberFieldProps {
  readonly label: string;
  readonly unit: string;
  readonly hint?: string;
  readonly typed: string;
  readonly fault: string | undefined;
  readonly onType: (value: string) => void;
}

/** One number with its unit, what it says where nothing is typed, and what is wrong with it. */
export function NumberField({ label, unit, hint, typed, fault, onType }: NumberFieldProps) {
  const id = useId();
  return (
    <div class="number-field">
      <label for={id}>
        {label}, {unit}
      </label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autocomplete="off"
        maxLength={20}
        value={typed}
        aria-invalid={fault !== undefined}
        aria-describedby={`${id}-fault ${id}-hint`}
        onInput={(event) => onType(event.currentTarget.value)}
      />
      <span class="hint" id={`${id}-hint`}>
        {hint}
      </span>
      <FaultWords id={`${id}-fault`} fault={fault} />
    </div>
  );
}
