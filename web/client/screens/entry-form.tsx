import { useRef, useState } from 'preact/hooks';
import { readDraft, type Faults, type Typed } from '../logic/entry-draft.js';
import { fieldsOfKind, FORM_KINDS, type FieldName, type FormKind } from '../logic/entry-fields.js';
import { toField } from '../logic/site-clock.js';
import { entryWords, kindWords } from '../logic/work-words.js';
import { Cautions } from '../parts/cautions.js';
import { EntryFieldInput } from '../parts/entry-field.js';
import { focusFirst, TimeField } from '../parts/time-field.js';
import { nowMs } from '../state/live.js';
import type { Place } from '../state/places.js';
import { site, units, wordsOf } from '../state/session.js';
import { newRequest, recordEntry } from '../state/work.js';

const NOTHING: Typed = {};
const FAULTLESS: Faults = {};

/** Writes down what was done. What was typed stays until it is taken in. */
export function EntryForm(place: Place) {
  const timezone = site.value?.timezone ?? 'UTC';
  const [kind, setKind] = useState<FormKind>('chain-removed');
  /** Undefined: now, whenever that will be. */
  const [time, setTime] = useState<string | undefined>(undefined);
  const [typed, setTyped] = useState(NOTHING);
  const [faults, setFaults] = useState(FAULTLESS);
  const [busy, setBusy] = useState(false);
  const [outcome, setOutcome] = useState({ good: true, text: '' });
  /** The draft that was sent last and its name: sent again unchanged it is the same entry. */
  const sent = useRef({ draft: '', request: '' });

  const touch = (): void => {
    setFaults(FAULTLESS);
    setOutcome({ good: true, text: '' });
  };
  const type = (name: FieldName, value: string): void => {
    touch();
    setTyped({ ...typed, [name]: value });
  };
  const submit = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    if (busy) return;
    const form = event.currentTarget;
    const atMs = nowMs.peek();
    const shownTime = time ?? toField(atMs, timezone);
    const read = readDraft({ kind, time: shownTime, typed }, { place, units: units.value, timezone, nowMs: atMs });
    setFaults(read.ok ? FAULTLESS : read.faults);
    if (!read.ok) {
      setOutcome({ good: false, text: 'Nothing is written down yet: see the fields marked below.' });
      focusFirst(form, read.faults);
      return;
    }
    const draft = JSON.stringify([kind, shownTime, typed]);
    if (sent.current.draft !== draft) sent.current = { draft, request: newRequest() };
    // A second try says the same minute as the first, so that it is the same entry.
    setTime(shownTime);
    setBusy(true);
    setOutcome({ good: true, text: '' });
    try {
      await recordEntry({ request: sent.current.request, entry: read.entry }, place.conveyor.id);
      setOutcome({ good: true, text: `Written down: ${entryWords(read.entry, units.value)}.` });
      setTyped(NOTHING);
      setTime(undefined);
      sent.current = { draft: '', request: '' };
    } catch (error) {
      setOutcome({ good: false, text: wordsOf(error) });
    }
    setBusy(false);
  };

  return (
    <form class="card entry-form" noValidate aria-label="Write down what was done" onSubmit={(event) => void submit(event)}>
      <h3>Write down what was done</h3>
      <Cautions />
      <p class={outcome.good ? 'done' : 'problem'} role={outcome.good ? 'status' : 'alert'}>
        {outcome.text}
      </p>
      <div class="entry-fields">
        <label>
          What
          <select
            name="kind"
            value={kind}
            onChange={(event) => {
              touch();
              setKind(FORM_KINDS.find((one) => one === event.currentTarget.value) ?? kind);
            }}
          >
            {FORM_KINDS.map((one) => (
              <option key={one} value={one}>
                {kindWords(one)}
              </option>
            ))}
          </select>
        </label>
        <TimeField
          time={time}
          timezone={timezone}
          fault={faults.time}
          onTime={(value) => {
            touch();
            setTime(value);
          }}
        />
        {fieldsOfKind(kind, place).map((field) => (
          <EntryFieldInput
            key={`${kind} ${field.name}`}
            field={field}
            units={units.value}
            typed={typed[field.name]}
            fault={faults[field.name]}
            onType={type}
          />
        ))}
      </div>
      <button type="submit" aria-disabled={busy}>
        Write it down
      </button>
    </form>
  );
}
