import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { JudgedAnswer } from '../../server/logic/judged-answer.js';
import type { SpanKind } from '../../server/logic/site-spans.js';
import { KIND_WORDS } from '../logic/judged-words.js';
import { AlarmsHead } from '../parts/alarms-head.js';
import { CountTable, FigureTable, PeriodSection, PriorityTable, SeriesSection, StaleTable } from '../parts/judged-tables.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { useAnswer } from '../state/use-answer.js';

const kind = signal<SpanKind>('shift');
/** An instant of the span that is judged; undefined for the one that runs. */
const atMs = signal<number | undefined>(undefined);
const shifts = signal('06:00,14:00,22:00');

/** How the alarms of a shift, a day or a month do: the figures that the standard names, beside what is aimed at. */
export function AlarmsJudgedScreen() {
  // Asked anew by hand: figures of a span that runs are no live view.
  const [asked, setAsked] = useState(0);
  const query = queryOf();
  const answer = useAnswer(() => ask<JudgedAnswer>('GET', `/api/alarms/judged?${query}`), [query, asked]);
  return (
    <div class="page judged">
      <AlarmsHead page="judged" />
      <Tools answer={answer.state === 'here' ? answer.value : undefined} onAgain={() => setAsked(asked + 1)} />
      {answer.state === 'loading' ? <p class="quiet-words">Counting …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="the figures" /> : null}
      {answer.state === 'here' ? <Judged answer={answer.value} query={query} /> : null}
    </div>
  );
}

function queryOf(): string {
  const fields = { by: kind.value, shifts: shifts.value, ...(atMs.value === undefined ? {} : { atMs: String(atMs.value) }) };
  return new URLSearchParams(fields).toString();
}

function Tools({ answer, onAgain }: { readonly answer: JudgedAnswer | undefined; readonly onAgain: () => void }) {
  const choose = (value: SpanKind): void => {
    kind.value = value;
  };
  const before = answer === undefined ? undefined : answer.figures.fromMs - 1;
  const after = answer === undefined || answer.running ? undefined : answer.figures.toMs;
  return (
    <div class="judged-tools">
      <fieldset class="kinds">
        <legend class="unseen">Judge by</legend>
        {(Object.keys(KIND_WORDS) as SpanKind[]).map((one) => (
          <label key={one}>
            <input type="radio" name="span-kind" checked={kind.value === one} onChange={() => choose(one)} />
            {KIND_WORDS[one]}
          </label>
        ))}
      </fieldset>
      {kind.value === 'shift' ? <Shifts /> : null}
      <button type="button" disabled={before === undefined} onClick={() => (atMs.value = before)}>
        Before
      </button>
      <button type="button" disabled={after === undefined} onClick={() => (atMs.value = after)}>
        After
      </button>
      <button type="button" disabled={atMs.value === undefined} onClick={() => (atMs.value = undefined)}>
        Now
      </button>
      <button type="button" onClick={onAgain}>
        Count again
      </button>
    </div>
  );
}

/** When shifts begin; taken over when one leaves the field. */
function Shifts() {
  return (
    <label>
      Shifts begin
      <input
        value={shifts.value}
        size={17}
        pattern="\s*([01]\d|2[0-3]):[0-5]\d(\s*,\s*([01]\d|2[0-3]):[0-5]\d)*\s*"
        title="Times of day with commas between them: 06:00,14:00,22:00"
        onChange={({ currentTarget }) => {
          if (currentTarget.reportValidity()) shifts.value = currentTarget.value;
        }}
      />
    </label>
  );
}

function Judged({ answer, query }: { readonly answer: JudgedAnswer; readonly query: string }) {
  const { figures, running } = answer;
  const end = localTime(figures.toMs, answer.timezone);
  return (
    <>
      <section aria-label="Figures">
        <div class="section-head">
          <h2>
            {figures.name}
            {running ? `, up to ${end.minutes}` : ''}
          </h2>
          <Exports query={query} />
        </div>
        {answer.knownFromMs === undefined ? null : (
          <p class="note">
            Nothing is counted from before {localTime(answer.knownFromMs, answer.timezone).date}: more alarms changed than are looked
            through.
          </p>
        )}
        <FigureTable answer={answer} />
        <p class="note">
          An alarm counts each time it becomes unacknowledged. The aims are those commonly quoted for one operator from IEC 62682 and
          ISA-18.2, not a copy of their tables: set your own in your alarm philosophy.
        </p>
      </section>
      <PeriodSection answer={answer} />
      <div class="judged-lists">
        <section aria-label="Ten most frequent">
          <h2>Ten most frequent</h2>
          <CountTable label="Ten most frequent" counts={answer.frequent} none="No alarm came." />
        </section>
        <section aria-label="By priority">
          <h2>By priority</h2>
          <PriorityTable answer={answer} />
        </section>
        <section aria-label="Chattering">
          <h2>Chattering</h2>
          <CountTable label="Chattering" counts={answer.chattering} none="None came three times in a minute." />
        </section>
        <section aria-label="Fleeting">
          <h2>Fleeting</h2>
          <CountTable label="Fleeting" counts={answer.fleeting} none="None was over within a minute before anybody acted." />
        </section>
        <section aria-label="Stale">
          <h2>Stale</h2>
          <StaleTable answer={answer} />
        </section>
      </div>
      <SeriesSection answer={answer} onPick={(fromMs) => (atMs.value = fromMs)} />
    </>
  );
}

const TABLES = [
  { table: 'spans', words: 'spans' },
  { table: 'periods', words: 'periods' },
  { table: 'frequent', words: 'most frequent' },
  { table: 'chattering', words: 'chattering' },
  { table: 'fleeting', words: 'fleeting' },
  { table: 'stale', words: 'stale' },
];

/** The same as files. */
function Exports({ query }: { readonly query: string }) {
  return (
    <p class="exports">
      As files (CSV):{' '}
      {TABLES.map(({ table, words }, index) => (
        <span key={table}>
          {index === 0 ? '' : ', '}
          <a href={`/api/alarms/judged.csv?${query}&table=${table}`} download>
            {words}
          </a>
        </span>
      ))}
    </p>
  );
}
