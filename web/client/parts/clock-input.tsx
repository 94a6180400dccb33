import { useRef, useState } from 'preact/hooks';
import { CLOCK_FORMS, clockText, readClockText, type ClockKind } from '../logic/clock-text.js';
import { FaultWords } from './entry-field.js';

interface ClockInputProps {
  readonly id: string;
  readonly name?: string;
  readonly kind: ClockKind;
  /** What it is called; the label itself stands where the form wants it. */
  readonly label: string;
  /** `2026-03-02` or `2026-03-02T09:41`; empty where nothing is given. */
  readonly value: string;
  /** What is wrong with it, as the form sees it. */
  readonly fault?: string | undefined;
  readonly disabled?: boolean;
  readonly onValue: (value: string) => void;
  /** What is typed and is not a time yet; without it the last one that was stays. */
  readonly onOther?: (text: string) => void;
}

/** The element that a browser's own calendar hangs on. */
const NATIVE = { day: 'date', moment: 'datetime-local' } as const;

/**
 * A day or a time, typed and read as everywhere here, of 24 hours and year first: the browser's own fields are written in
 * the order of whoever set up the machine. Its calendar can be opened all the same, which a thumb is glad of.
 */
export function ClockInput(props: ClockInputProps) {
  const { id, name, kind, label, value, fault, disabled = false, onValue, onOther } = props;
  const native = useRef<HTMLInputElement>(null);
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const [left, setLeft] = useState(false);
  const wrong = fault ?? (left && typed !== undefined ? `Write it like ${CLOCK_FORMS[kind]}.` : undefined);
  const read = (text: string): void => {
    const held = readClockText(text, kind);
    setTyped(text);
    setLeft(false);
    if (held !== undefined) onValue(held);
    else onOther?.(text);
  };
  const leave = (goesTo: EventTarget | null): void => {
    // Whoever goes to the form's button presses it, and the form judges: words below the field would move it from under the pointer.
    setLeft(!(goesTo instanceof HTMLButtonElement && goesTo.type === 'submit'));
    if (typed !== undefined && readClockText(typed, kind) !== undefined) setTyped(undefined);
  };
  return (
    <>
      <span class={`clock-input ${kind}`}>
        <input
          id={id}
          name={name}
          type="text"
          autocomplete="off"
          maxLength={20}
          disabled={disabled}
          placeholder={kind === 'day' ? 'YYYY-MM-DD' : 'YYYY-MM-DD HH:MM'}
          value={typed ?? clockText(value)}
          aria-invalid={wrong !== undefined}
          aria-describedby={wrong === undefined ? undefined : `${id}-fault`}
          onInput={(event) => read(event.currentTarget.value)}
          onBlur={(event) => leave(event.relatedTarget)}
        />
        <input
          ref={native}
          class="native"
          type={NATIVE[kind]}
          tabIndex={-1}
          aria-hidden="true"
          value={readClockText(value, kind) ?? ''}
          onChange={(event) => {
            setTyped(undefined);
            onValue(event.currentTarget.value);
          }}
        />
        {disabled ? null : (
          <button type="button" aria-label={`Calendar: ${label}`} onClick={() => openCalendar(native.current)}>
            <svg viewBox="0 0 16 16" aria-hidden="true">
              <path d="M2 4.5h12v9H2z M2 7.5h12 M5 2.5v3 M11 2.5v3" />
            </svg>
          </button>
        )}
      </span>
      <FaultWords id={`${id}-fault`} fault={wrong} />
    </>
  );
}

function openCalendar(input: HTMLInputElement | null): void {
  try {
    input?.showPicker();
  } catch {
    // A browser that has none, or does not let it be opened: what is typed does.
    input?.parentElement?.querySelector('input')?.focus();
  }
}
