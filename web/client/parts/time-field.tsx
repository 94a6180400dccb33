import { useId } from 'preact/hooks';
import { toField } from '../logic/site-clock.js';
import { nowMs } from '../state/live.js';
import { FaultWords } from './entry-field.js';

interface TimeFieldProps {
  readonly time: string | undefined;
  readonly timezone: string;
  readonly fault: string | undefined;
  readonly onTime: (value: string | undefined) => void;
}

/** When it was done; the present minute until somebody sets another. */
export function TimeField({ time, timezone, fault, onTime }: TimeFieldProps) {
  const id = useId();
  return (
    <label>
      When, on the site’s clock
      <input
        type="datetime-local"
        name="time"
        value={time ?? toField(nowMs.value, timezone)}
        aria-invalid={fault !== undefined}
        aria-describedby={fault === undefined ? undefined : `${id}-fault`}
        onInput={(event) => onTime(event.currentTarget.value)}
      />
      <FaultWords id={`${id}-fault`} fault={fault} />
    </label>
  );
}

/** Moves the focus to the first field that something is wrong with. */
export function focusFirst(form: EventTarget | null, faults: Readonly<Record<string, unknown>>): void {
  if (!(form instanceof HTMLFormElement)) return;
  const first = [...form.elements].find((element) => (element.getAttribute('name') ?? '') in faults);
  if (first instanceof HTMLElement) first.focus();
}
