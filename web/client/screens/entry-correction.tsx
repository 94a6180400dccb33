import { useEffect, useRef, useState } from 'preact/hooks';
import type { EntryAnswer } from '../../server/logic/work-answers.js';
import { draftOfEntry, readCorrection } from '../logic/correction-draft.js';
import type { Faults } from '../logic/entry-draft.js';
import { fieldsOfKind, type FormKind } from '../logic/entry-fields.js';
import { entryWords } from '../logic/work-words.js';
import { EntryFieldInput } from '../parts/entry-field.js';
import { focusFirst, TimeField } from '../parts/time-field.js';
import type { Place } from '../state/places.js';
import { site, units, wordsOf } from '../state/session.js';
import { correctEntry, newRequest } from '../state/work.js';

const FAULTLESS: Faults = {};

interface EntryCorrectionProps {
  readonly place: Place;
  readonly entry: EntryAnswer;
  readonly kind: FormKind;
  readonly onEnd: () => void;
}

/** What an entry should have said. The entry itself is kept: a correction is written beside it. */
export function EntryCorrection({ place, entry, kind, onEnd }: EntryCorrectionProps) {
  const timezone = site.value?.timezone ?? 'UTC';
  const context = { place, units: units.value, timezone };
  const first = draftOfEntry(entry, kind, context);
  const [draft, setDraft] = useState(first);
  const [faults, setFaults] = useState(FAULTLESS);
  const [problem, setProblem] = useState('');
  const [busy, setBusy] = useState(false);
  /** The correction that was sent last and its name: sent again unchanged it is the same one. */
  const sent = useRef({ draft: '', request: '' });
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => form.current?.querySelector<HTMLElement>('input, select, textarea')?.focus(), []);

  const submit = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    if (busy) return;
    const read = readCorrection(first, draft, context);
    setFaults(read.ok ? FAULTLESS : read.faults);
    if (!read.ok) {
      setProblem(read.nothing ? 'Nothing is changed yet.' : 'Nothing is corrected yet: see the fields marked below.');
      focusFirst(event.currentTarget, read.faults);
      return;
    }
    const said = JSON.stringify(draft);
    if (sent.current.draft !== said) sent.current = { draft: said, request: newRequest() };
    setBusy(true);
    setProblem('');
    try {
      await correctEntry({ request: sent.current.request, entry: entry.id, changes: read.changes }, entry.conveyor);
      onEnd();
    } catch (error) {
      setProblem(wordsOf(error));
      setBusy(false);
    }
  };

  return (
    <form
      ref={form}
      class="card entry-form"
      noValidate
      aria-label={`Correct: ${entryWords(entry.entry, units.value)}`}
      onSubmit={(event) => void submit(event)}
    >
      <p class="problem" role="alert">
        {problem}
      </p>
      <div class="entry-fields">
        <TimeField
          time={draft.time}
          timezone={timezone}
          fault={faults.time}
          onTime={(time) => setDraft({ ...draft, time: time ?? first.time })}
        />
        {fieldsOfKind(kind, place).map((field) => (
          <EntryFieldInput
            key={field.name}
            field={field}
            units={units.value}
            typed={draft.typed[field.name] ?? ''}
            fault={faults[field.name]}
            onType={(name, value) => setDraft({ ...draft, typed: { ...draft.typed, [name]: value } })}
          />
        ))}
      </div>
      <div class="buttons">
        <button type="submit" aria-disabled={busy}>
          Write the correction down
        </button>
        <button type="button" onClick={onEnd}>
          Leave it as it is
        </button>
      </div>
    </form>
  );
}
