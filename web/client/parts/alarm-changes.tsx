import { useEffect, useRef, useState } from 'preact/hooks';
import type { AlarmEventAnswer, ChangesAnswer } from '../../server/logic/answers.js';
import { alarmWords, PRIORITY_CHOICES, priorityWords } from '../logic/alarm-words.js';
import { CHANGE_KINDS, changeWords } from '../logic/change-words.js';
import { ask } from '../state/api.js';
import { allPlaces } from '../state/places.js';
import { isSignedOut, me, site, wordsOf } from '../state/session.js';
import { DayField } from './day-field.js';
import { NoAnswer } from './no-answer.js';
import { ChangesTable } from './recent-alarms.js';

/** What a list of changes is narrowed to; nothing where a field is empty. */
const NO_FILTER = { from: '', to: '', place: '', alarm: '', priority: '', change: '' };
type Filter = typeof NO_FILTER;

const PAGE = 50;

/** Every change of every alarm, narrowed as one asks, page by page, and as a file. */
export function AlarmChanges({ marks }: { /** Changes whenever a new change may be there. */ readonly marks: string }) {
  const [filter, setFilter] = useState(NO_FILTER);
  const { pages, problem, asking, more, again } = usePages(queryOf(filter), marks);
  const latest = pages.at(-1);
  return (
    <section aria-label="Changes">
      <div class="section-head">
        <h2>Changes {latest === undefined ? null : <span class="of">{latest.total}</span>}</h2>
        <a href={`/api/alarms/changes.csv?${queryOf(filter)}`} download>
          As a file (CSV)
        </a>
      </div>
      <ChangeFilter filter={filter} onChange={setFilter} />
      {problem === '' ? null : <NoAnswer failed={{ words: problem, asking, again }} what="changes" />}
      {latest === undefined && problem === '' ? <p class="quiet-words">Asking …</p> : null}
      {latest?.total === 0 ? (
        <p class="quiet-words">{queryOf(filter) === '' ? 'No alarm has ever changed here.' : 'No change is like that.'}</p>
      ) : null}
      {latest !== undefined && latest.total > 0 ? <ChangesTable events={eventsOf(pages)} withPlace /> : null}
      {latest?.next === undefined ? null : (
        <button type="button" onClick={more}>
          Older
        </button>
      )}
    </section>
  );
}

function eventsOf(pages: readonly ChangesAnswer[]): readonly AlarmEventAnswer[] {
  return pages.flatMap(({ events }) => events);
}

interface Pages {
  readonly pages: readonly ChangesAnswer[];
  /** Why the page asked for last is not there; empty where it is. */
  readonly problem: string;
  readonly asking: boolean;
  /** Asks for the page after those. */
  readonly more: () => void;
  /** Asks once more for what failed, which may be the first page of another list. */
  readonly again: () => void;
}

/** The pages asked for so far; another question, or a change that may be new, begins anew with the first. */
function usePages(query: string, marks: string): Pages {
  const [{ pages, of }, setPages] = useState<{ readonly pages: readonly ChangesAnswer[]; readonly of: string }>({ pages: [], of: query });
  const [problem, setProblem] = useState('');
  const [asking, setAsking] = useState(false);
  const turn = useRef(0);
  /** After which pages the last question asked for more. */
  const last = useRef<readonly ChangesAnswer[]>([]);
  const load = async (before: readonly ChangesAnswer[]): Promise<void> => {
    turn.current += 1;
    last.current = before;
    const mine = turn.current;
    // An answer that another question has overtaken belongs to another list.
    const wanted = (): boolean => mine === turn.current;
    const next = before.at(-1)?.next;
    setAsking(true);
    try {
      const page = await ask<ChangesAnswer>(
        'GET',
        `/api/alarms/changes?${query}&limit=${PAGE}${next === undefined ? '' : `&before=${next}`}`,
      );
      if (!wanted()) return;
      setPages({ pages: [...before, page], of: query });
      setProblem('');
    } catch (error) {
      if (isSignedOut(error)) me.value = null;
      else if (wanted()) {
        setProblem(wordsOf(error));
        // What answers another question is not left standing as if it answered this one.
        if (of !== query) setPages({ pages: [], of: query });
      }
    }
    if (wanted()) setAsking(false);
  };
  useEffect(() => {
    void load([]);
  }, [query, marks]);
  return { pages, problem, asking, more: () => void load(pages), again: () => void load(last.current) };
}

function ChangeFilter({ filter, onChange }: { readonly filter: Filter; readonly onChange: (filter: Filter) => void }) {
  const set = (field: keyof Filter) => (value: string) => onChange({ ...filter, [field]: value });
  const places = allPlaces().map(({ conveyor, takeup }) => ({
    value: JSON.stringify([conveyor.id, takeup.id]),
    words: `${conveyor.name}, ${takeup.id}`,
  }));
  const alarms = (site.value?.alarms ?? []).map(({ alarm }) => ({ value: alarm, words: alarmWords(alarm) }));
  const priorities = PRIORITY_CHOICES.map((priority) => ({ value: priority, words: priorityWords(priority) }));
  const changes = CHANGE_KINDS.map((change) => ({ value: change, words: changeWords(change) }));
  return (
    <form class="change-filter" aria-label="Narrow the changes" onSubmit={(event) => event.preventDefault()}>
      <DayField label="From" value={filter.from} onChange={set('from')} />
      <DayField label="To" value={filter.to} onChange={set('to')} />
      <Choice label="Take-up" none="All" value={filter.place} choices={places} onChange={set('place')} />
      <Choice label="Alarm" none="All" value={filter.alarm} choices={alarms} onChange={set('alarm')} />
      <Choice label="Priority" none="All" value={filter.priority} choices={priorities} onChange={set('priority')} />
      <Choice label="Change" none="All" value={filter.change} choices={changes} onChange={set('change')} />
    </form>
  );
}

interface FieldProps {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
}

interface ChoiceProps extends FieldProps {
  readonly none: string;
  readonly choices: readonly { readonly value: string; readonly words: string }[];
}

function Choice({ label, none, value, choices, onChange }: ChoiceProps) {
  return (
    <label>
      {label}
      <select value={value} onChange={({ currentTarget }) => onChange(currentTarget.value)}>
        <option value="">{none}</option>
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.words}
          </option>
        ))}
      </select>
    </label>
  );
}

function queryOf({ place, ...rest }: Filter): string {
  const [conveyor, takeup] = place === '' ? [] : (JSON.parse(place) as readonly [string, string]);
  const fields = { ...rest, conveyor, takeup };
  const given = Object.entries(fields).flatMap(([name, value]) => (value === undefined || value === '' ? [] : [[name, value]]));
  return new URLSearchParams(given).toString();
}
