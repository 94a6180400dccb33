import { useState } from 'preact/hooks';
import type { EntryAnswer } from '../../server/logic/work-answers.js';
import { FORM_KINDS } from '../logic/entry-fields.js';
import { logQuery, NO_FILTER, type LogFilter } from '../logic/log-query.js';
import { kindWords } from '../logic/work-words.js';
import { DayField } from '../parts/day-field.js';
import { NoAnswer } from '../parts/no-answer.js';
import { useKeptFocus } from '../parts/use-kept-focus.js';
import { ask } from '../state/api.js';
import { placeWords } from '../state/places.js';
import { site } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { useSettled } from '../state/use-settled.js';
import { anyWorkTold } from '../state/work.js';
import { LogEntry } from './service-log-entry.js';

/** So many more come with each asking. */
const STEP = 100;

/** Entries of the whole site, latest work first, with what narrows them down and what takes them away as a file. */
export function SiteLog({ most }: { /** So many are shown until somebody asks for more. */ readonly most: number }) {
  const [filter, setFilter] = useState(NO_FILTER);
  const [shown, setShown] = useState(most);
  const query = useSettled(logQuery(filter, site.value?.timezone ?? 'UTC'));
  const answer = useAnswer(() => ask<readonly EntryAnswer[]>('GET', `/api/entries${query}`), [query, anyWorkTold.value]);
  const log = useKeptFocus<HTMLDivElement>();
  const change = (part: Partial<LogFilter>): void => {
    setFilter({ ...filter, ...part });
    setShown(most);
  };
  return (
    <div ref={log} class="site-log">
      <Filters filter={filter} onChange={change} />
      <p class="exports">
        Take these away as{' '}
        <a href={`/api/entries.csv${query}`} download="service-log.csv">
          CSV
        </a>{' '}
        or{' '}
        <a href={`/api/entries.jsonl${query}`} download="service-log.jsonl">
          JSON lines
        </a>
      </p>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="the entries" /> : null}
      {answer.state === 'here' ? (
        <Entries entries={answer.value} narrowed={query !== ''} shown={shown} onMore={() => setShown(shown + STEP)} />
      ) : null}
    </div>
  );
}

interface EntriesProps {
  readonly entries: readonly EntryAnswer[];
  /** Not all were asked for. */
  readonly narrowed: boolean;
  readonly shown: number;
  readonly onMore: () => void;
}

function Entries({ entries, narrowed, shown, onMore }: EntriesProps) {
  return (
    <>
      <p class="quiet-words" role="status">
        {entries.length === 0
          ? narrowed
            ? 'No entry is like that.'
            : 'Nothing has been written down yet.'
          : `${String(entries.length)} ${entries.length === 1 ? 'entry' : 'entries'}`}
      </p>
      <ul class="entry-list">
        {entries.slice(0, shown).map((entry) => (
          <LogEntry key={entry.id} entry={entry} where={placeWords(entry)} />
        ))}
      </ul>
      {entries.length <= shown ? null : (
        <button type="button" onClick={onMore}>
          Show {Math.min(STEP, entries.length - shown)} more
        </button>
      )}
    </>
  );
}

const STATES = [
  ['standing', 'not struck out'],
  ['corrected', 'corrected'],
  ['withdrawn', 'struck out'],
] as const;

function Filters({ filter, onChange }: { readonly filter: LogFilter; readonly onChange: (part: Partial<LogFilter>) => void }) {
  return (
    <div class="log-filters" role="search" aria-label="Narrow the log down">
      <Choice
        label="Conveyor"
        value={filter.conveyor}
        choices={(site.value?.conveyors ?? []).map(({ id, name }) => [id, name] as const)}
        onChoose={(conveyor) => onChange({ conveyor })}
      />
      <Choice
        label="Kind of work"
        value={filter.kind}
        choices={FORM_KINDS.map((kind) => [kind, kindWords(kind)] as const)}
        onChoose={(kind) => onChange({ kind })}
      />
      <Choice
        label="Entries that are"
        value={filter.state}
        choices={STATES}
        onChoose={(state) => onChange({ state: STATES.find(([value]) => value === state)?.[0] ?? '' })}
      />
      <DayField label="From" value={filter.from} onChange={(from) => onChange({ from })} />
      <DayField label="To" value={filter.to} onChange={(to) => onChange({ to })} />
      <label>
        Who
        <input type="text" autocomplete="off" value={filter.by} onInput={(event) => onChange({ by: event.currentTarget.value })} />
      </label>
      <label>
        Words
        <input type="search" value={filter.words} onInput={(event) => onChange({ words: event.currentTarget.value })} />
      </label>
    </div>
  );
}

interface ChoiceProps {
  readonly label: string;
  readonly value: string;
  readonly choices: readonly (readonly [value: string, words: string])[];
  readonly onChoose: (value: string) => void;
}

function Choice({ label, value, choices, onChoose }: ChoiceProps) {
  return (
    <label>
      {label}
      <select value={value} onChange={(event) => onChoose(event.currentTarget.value)}>
        <option value="">all</option>
        {choices.map(([choice, words]) => (
          <option key={choice} value={choice}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}
