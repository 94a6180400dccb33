import { useRef, useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { EntryAnswer } from '../../server/logic/work-answers.js';
import { formKindOf } from '../logic/correction-draft.js';
import { entrySentence, entryWords } from '../logic/work-words.js';
import { focusIt } from '../parts/focus-it.js';
import { placeOfEntry } from '../state/places.js';
import { say } from '../state/said.js';
import { may, site, units } from '../state/session.js';
import { useDoing } from '../state/use-doing.js';
import { correctEntry, newRequest } from '../state/work.js';
import { EntryCorrection } from './entry-correction.js';

interface LogEntryProps {
  readonly entry: EntryAnswer;
  /** Where entries of several conveyors stand together: which one it was. */
  readonly where?: string;
}

/** One entry of the service log, with what it said before where it was corrected, and what can be done about it. */
export function LogEntry({ entry, where }: LogEntryProps) {
  const { date, minutes } = localTime(entry.timeMs, site.value?.timezone ?? 'UTC');
  const what = entrySentence(entry.entry, units.value);
  const head = `${what}, ${date} ${minutes}`;
  return (
    <li class={`entry ${entry.state ?? ''}`} aria-label={where === undefined ? head : `${where}: ${head}`}>
      <span class="since">
        {date} {minutes}
      </span>
      <span class="entry-words">
        {where === undefined ? null : <span class="where">{where}: </span>}
        {entry.state === 'withdrawn' ? <s>{what}</s> : what}
      </span>
      <span class="done-by">
        {entry.by ?? ''}
        {entry.state === undefined ? '' : ` ${entry.state === 'withdrawn' ? '(struck out' : '(corrected'}${byWhom(entry)})`}
      </span>
      <Check entry={entry} />
      <Versions entry={entry} />
      {may('record-work') && entry.state !== 'withdrawn' ? <Change entry={entry} head={head} /> : null}
    </li>
  );
}

function byWhom({ changedBy }: EntryAnswer): string {
  return changedBy === undefined ? '' : ` by ${changedBy}`;
}

/** What the carriage says of chain that was taken out. */
function Check({ entry: { check } }: { readonly entry: EntryAnswer }) {
  if (check === undefined) return null;
  return <p class={check.verdict === 'count-differs' ? 'entry-check doubtful' : 'entry-check'}>{check.sentence}</p>;
}

/** How the entry read before: what was written once is kept, and shown. */
function Versions({ entry: { versions = [] } }: { readonly entry: EntryAnswer }) {
  if (versions.length < 2) return null;
  return (
    <details class="entry-versions">
      <summary>As it was written</summary>
      <ol aria-label="As it was written">
        {versions.map(({ entry, writtenMs, by, withdrawn }) => {
          const { date, minutes } = localTime(writtenMs, site.value?.timezone ?? 'UTC');
          return (
            <li key={writtenMs}>
              {withdrawn === true ? 'Struck out' : entrySentence(entry, units.value)}
              <span class="note">
                {' '}
                {date} {minutes}
                {by === undefined ? '' : ` by ${by}`}
              </span>
            </li>
          );
        })}
      </ol>
    </details>
  );
}

type Doing = 'nothing' | 'correcting' | 'striking-out';

/** Correcting and striking out; the latter asks once more, since it moves the account of the chain. */
function Change({ entry, head }: { readonly entry: EntryAnswer; readonly head: string }) {
  const [doing, setDoing] = useState<Doing>('nothing');
  const last = useRef<Doing>('nothing');
  const leave = (): void => {
    last.current = doing;
    setDoing('nothing');
  };
  const { busy, problem, run } = useDoing();
  const [request] = useState(newRequest);
  const kind = formKindOf(entry.entry);
  const place = placeOfEntry(entry);
  const strikeOut = async (): Promise<void> => {
    const struckOut = await run(() => correctEntry({ request, entry: entry.id, withdraw: true }, entry.conveyor));
    if (struckOut) say(`Struck out: ${head}.`);
  };
  if (doing === 'correcting' && kind !== undefined && place !== undefined)
    return <EntryCorrection place={place} entry={entry} kind={kind} onEnd={leave} />;
  if (doing === 'striking-out') {
    return (
      <div key="sure" class="buttons" role="group" aria-label={`Strike out: ${head}`}>
        <span>Strike out “{entryWords(entry.entry, units.value)}”? It stays in the log, and counts for nothing any more.</span>
        <button type="button" aria-disabled={busy} onClick={() => void strikeOut()}>
          Strike it out
        </button>
        <button ref={focusIt} type="button" onClick={leave}>
          Keep it
        </button>
        <p class="problem" role="alert">
          {problem}
        </p>
      </div>
    );
  }
  /** Whoever lets it be is back at the button that they pressed. */
  const backFrom = (what: Doing) => (last.current === what ? focusIt : null);
  return (
    <div key="offers" class="buttons quiet-buttons">
      {kind === undefined || place === undefined ? null : (
        <button ref={backFrom('correcting')} type="button" aria-label={`Correct: ${head}`} onClick={() => setDoing('correcting')}>
          Correct
        </button>
      )}
      <button ref={backFrom('striking-out')} type="button" aria-label={`Strike out: ${head}`} onClick={() => setDoing('striking-out')}>
        Strike out
      </button>
    </div>
  );
}
