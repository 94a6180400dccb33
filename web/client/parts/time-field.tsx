import { useId } from 'preact/hooks';
import { toField } from '../logic/site-clock.js';
import { nowMs } from '../state/live.js';
import { ClockInput } from './clock-input.js';

interface TimeFieldProps {
  readonly time: string | undefined;
  readonly timezone: string;
  readonly fault: string | undefined;
  readonly onTime: (value: string | undefined) => void;
}

const LABEL = 'When, on the site’s clock';

/** When it was done; the present minute until somebody sets another. */
export function TimeField({ time, timezone, fault, onTime }: TimeFieldProps) {
  const id = useId();
  return (
    <div class="entry-field">
      <label for={id}>{LABEL}</label>
      <ClockInput
        {...{ id, fault, kind: 'moment', name: 'time', label: LABEL }}
        value={time ?? toField(nowMs.value, timezone)}
        onValue={onTime}
        onOther={onTime}
      />
    </div>
  );
}

/** Moves the focus to the first field that something is wrong with. */
export function focusFirst(form: EventTarget | null, faults: Readonly<Record<string, unknown>>): void {
  if (!(form instanceof HTMLFormElement)) return;
  const first = [...form.elements].find((element) => (element.getAttribute('name') ?? '') in faults);
  if (first instanceof HTMLElement) first.focus();
}
