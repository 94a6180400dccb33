import { useId } from 'preact/hooks';
import { ClockInput } from './clock-input.js';

interface MomentFieldProps {
  readonly label: string;
  /** `2026-03-02T09:41` on the site's clock, or whatever is typed there. */
  readonly value: string;
  readonly onChange: (value: string) => void;
}

/** A minute on the site's clock; what is typed and is none yet is handed on as it is, so that the form can refuse it. */
export function MomentField({ label, value, onChange }: MomentFieldProps) {
  const id = useId();
  return (
    <div class="entry-field">
      <label for={id}>{label}</label>
      <ClockInput id={id} kind="moment" label={label} value={value} onValue={onChange} onOther={onChange} />
    </div>
  );
}
