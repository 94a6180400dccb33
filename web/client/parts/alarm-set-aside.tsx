import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { AlarmRequest } from '../../server/logic/answers.js';
import { alarmTitle } from '../logic/alarm-words.js';
import { SHELVE_CHOICES } from '../logic/aside-words.js';
import { shelveAlarm, takeOutOfService } from '../state/alarm-actions.js';
import { placeWords } from '../state/places.js';
import { useDoing } from '../state/use-doing.js';

/** The two ways in which a person sets an alarm aside. */
export type AsideKind = 'shelve' | 'out-of-service';

const WORDS: Readonly<Record<AsideKind, { readonly title: string; readonly what: string; readonly button: string }>> = {
  shelve: {
    title: 'Shelve',
    what: 'It goes on being watched, calls for nobody meanwhile, and comes back by itself.',
    button: 'Shelve it',
  },
  'out-of-service': {
    title: 'Take out of service',
    what: 'It calls for nobody until somebody puts it back. Nothing else will say what it would have said.',
    button: 'Take it out of service',
  },
};

const USUAL_MINUTES = 60;

interface SetAsideProps {
  readonly kind: AsideKind;
  readonly alarm: AlarmRequest;
  readonly onClose: () => void;
  /** Whether it takes the focus when it appears; default so. Where it follows a choice, the choice keeps it. */
  readonly focused?: boolean;
}

/** Asks for how long and why, and sets the alarm aside. */
export function SetAside({ kind, alarm, onClose, focused = true }: SetAsideProps) {
  const [minutes, setMinutes] = useState(USUAL_MINUTES);
  const [why, setWhy] = useState('');
  const { busy, problem, run } = useDoing();
  const reason = useRef<HTMLInputElement>(null);
  const ids = useId();
  const words = WORDS[kind];
  useEffect(() => {
    if (focused) reason.current?.focus();
  }, [kind]);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (await run(() => (kind === 'shelve' ? shelveAlarm(alarm, minutes, why) : takeOutOfService(alarm, why)))) onClose();
    // The button lost the focus while it could not be pressed.
    else reason.current?.focus();
  };
  return (
    <form
      class="set-aside"
      aria-label={`${words.title}: ${alarmTitle(alarm)}, ${placeWords(alarm)}`}
      onSubmit={(event) => void submit(event)}
      onKeyDown={(event) => (event.key === 'Escape' ? onClose() : undefined)}
    >
      <p id={`${ids}-what`}>{words.what}</p>
      {kind === 'shelve' ? (
        <label>
          For
          <select value={minutes} onChange={({ currentTarget }) => setMinutes(Number(currentTarget.value))}>
            {SHELVE_CHOICES.map((choice) => (
              <option key={choice.minutes} value={choice.minutes}>
                {choice.words}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <label class="aside-why">
        Why
        <input
          ref={reason}
          required
          maxLength={500}
          pattern=".*\S.*"
          title="Say why, for whoever reads it later"
          aria-describedby={`${ids}-what`}
          value={why}
          onInput={({ currentTarget }) => setWhy(currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={busy}>
        {words.button}
      </button>
      <button type="button" onClick={onClose}>
        Leave it
      </button>
      <p class="problem" role="alert">
        {problem}
      </p>
    </form>
  );
}
