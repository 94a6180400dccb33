import { useId } from 'preact/hooks';
import { ClockInput } from './clock-input.js';

interface DayFieldProps {
  readonly label: string;
  /** `2026-03-02`, or empty. */
  readonly value: string;
  readonly onChange: (value: string) => void;
}

/** A day that narrows a list; while it is being typed the list stays as it was. */
export function DayField({ label, value, onChange }: DayFieldProps) {
  const id = useId();
  return (
    <div class="day-field">
      <label for={id}>{label}</label>
      <ClockInput id={id} kind="day" label={label} value={value} onValue={onChange} />
    </div>
  );
}
