import { useState } from 'preact/hooks';
import type { BenchDifferences, BenchSettings, EventDifference, TakeupDifference } from '../../../agent/contract/bench.js';
import { changedLines, differWords, eventWords, rejectWords } from '../logic/bench-words.js';
import { changeWords, comparisonText, numbersWords, pairWords } from '../logic/comparison-text.js';
import { filterOf, withFilter } from '../logic/filter-lines.js';
import { timeWords } from '../logic/site-clock.js';
import { fieldsOf } from '../parts/form-fields.js';
import { benchSession, differences, results, runSecond, save } from '../state/bench.js';
import { may } from '../state/session.js';
import { siteProposal } from '../state/site-proposal.js';

/** The filter's settings that a bench may change, as people read them, with what the agent has. */
const SETTINGS: readonly { readonly name: keyof BenchSettings; readonly label: string; readonly usual: number; readonly step: string }[] = [
  { name: 'spikeK', label: 'Spike: so many spreads from the median', usual: 3, step: '0.1' },
  { name: 'smoothingS', label: 'Smoothing time, s', usual: 30, step: 'any' },
  { name: 'windowMin', label: 'Settled window, min', usual: 10, step: '1' },
  { name: 'fewestReadings', label: 'Fewest readings in a window', usual: 15, step: '1' },
  { name: 'jumpMm', label: 'Not settled if its halves differ by, mm', usual: 4, step: 'any' },
];

/** The same recording with another setting: what it changes, and the better one on to Set-up. */
export function BenchSecond({ siteText }: { readonly siteText: string }) {
  const [tried, setTried] = useState(siteText);
  const [problem, setProblem] = useState('');
  const state = benchSession.value?.progress.state;
  // A setting with which it failed may be followed by a better one.
  const busy = state !== 'done' && !(state === 'failed' && results.value.a !== undefined);
  const usual = filterOf(siteText);
  const submit = (event: SubmitEvent): void => {
    event.preventDefault();
    const fields = fieldsOf(event.currentTarget);
    // The filter is written into the site file, so that what was tried is what can be put in force.
    const settings = Object.fromEntries(
      SETTINGS.flatMap(({ name, usual: plain }) => {
        const value = Number(fields[name]);
        return fields[name] === undefined || fields[name] === '' || value === plain ? [] : [[name, value]];
      }),
    ) as BenchSettings;
    const text = withFilter(fields['site'] ?? siteText, settings);
    setProblem(text === undefined ? 'The site file writes its filter over several lines: change it there.' : '');
    if (text === undefined) return;
    setTried(text);
    void runSecond(text);
  };
  return (
    <section aria-labelledby="bench-second">
      <h2 id="bench-second">Another setting, side by side</h2>
      <form class="card" onSubmit={submit}>
        <fieldset class="bench-settings">
          <legend>Filter</legend>
          {SETTINGS.map(({ name, label, usual: plain, step }) => (
            <label key={name}>
              {label}
              <input name={name} type="number" step={step} min="0" defaultValue={usual[name] ?? plain} />
            </label>
          ))}
        </fieldset>
        <label>
          Site file: limits, delays, springs, references
          <textarea name="site" rows={14} spellcheck={false} defaultValue={siteText} />
        </label>
        <p class="problem" role="alert">
          {problem}
        </p>
        <button type="submit" disabled={busy}>
          Replay with this setting
        </button>
      </form>
      {results.value.b === undefined ? null : <Differences before={siteText} after={tried} />}
    </section>
  );
}

function Differences({ before, after }: { readonly before: string; readonly after: string }) {
  const found = differences.value;
  if (found === undefined) return null;
  const lines = changedLines(before, after);
  return (
    <section class="card" aria-labelledby="bench-differences">
      <h3 id="bench-differences">What it changes</h3>
      <p role="status">{differWords(found.events.length, found.same)}.</p>
      {found.events.length === 0 ? null : <EventTable events={found.events} />}
      <TakeupTable takeups={found.takeups} />
      {found.rejected.map(({ reason, a, b }) => (
        <p key={reason}>
          Readings not used, {rejectWords(reason)}: {a} before, {b} with it.
        </p>
      ))}
      {lines.length === 0 ? null : <Apply before={before} after={after} lines={lines} found={found} />}
    </section>
  );
}

interface ApplyProps {
  readonly before: string;
  readonly after: string;
  readonly lines: readonly string[];
  readonly found: BenchDifferences;
}

/** The way from what was tried to what is in force. */
function Apply({ before, after, lines, found }: ApplyProps) {
  const session = benchSession.value;
  const result = results.value.a;
  const handOver = (): void => {
    if (session === undefined || result === undefined) return;
    siteProposal.value = { text: after, base: before, why: comparisonText({ name: session.name, ...result }, found) };
    location.hash = '#/set-up/site-file';
  };
  return (
    <>
      <h4>Lines of the site file that differ</h4>
      <pre class="bench-diff" tabIndex={0} aria-label="Lines of the site file that differ">
        {lines.join('\n')}
      </pre>
      <div class="file-tools">
        {session?.ofThisSite === true && may('change-site') ? (
          <button type="button" onClick={handOver}>
            Take it to Set-up, to apply it
          </button>
        ) : null}
        <button type="button" onClick={() => void save('site.yaml', new Blob([after], { type: 'application/yaml' }))}>
          Save the site file
        </button>
      </div>
      {session?.ofThisSite === true ? null : (
        <p class="quiet-words">
          This recording was replayed by a site file of its own: carry the lines over to this site in Set-up by hand.
        </p>
      )}
    </>
  );
}

function EventTable({ events }: { readonly events: readonly EventDifference[] }) {
  const timezone = results.value.a?.timezone ?? 'UTC';
  const time = (ms: number | null): string => (ms === null ? '–' : timeWords(ms, timezone));
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="Alarms and findings that differ">
      <table>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Where</th>
            <th scope="col">Change</th>
            <th scope="col">Before</th>
            <th scope="col">With it</th>
          </tr>
        </thead>
        <tbody>
          {events.map((event, index) => (
            <tr key={index}>
              <th scope="row">{eventWords(event)}</th>
              <td>{[event.conveyor, event.takeup, event.takeup === undefined ? event.signal : undefined].filter(Boolean).join(' ')}</td>
              <td>{changeWords(event)}</td>
              <td>{time(event.aMs)}</td>
              <td>{time(event.bMs)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function TakeupTable({ takeups }: { readonly takeups: readonly TakeupDifference[] }) {
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="Figures at the end of the recording">
      <table>
        <thead>
          <tr>
            <th scope="col">Take-up</th>
            <th scope="col">Elongation, %</th>
            <th scope="col">Largest difference of a day</th>
            <th scope="col">Stroke used up</th>
            <th scope="col">Springs slack</th>
            <th scope="col">Chain worn</th>
          </tr>
        </thead>
        <tbody>
          {takeups.map((one) => (
            <tr key={`${one.conveyor}/${one.takeup}`}>
              <th scope="row">
                {one.conveyor} {one.takeup}
              </th>
              <td>{numbersWords(one.elongationPct, 4)}</td>
              <td>
                {one.largestOfDay === null ? 'no day has both' : `${one.largestOfDay.pct.toFixed(4)} points, ${one.largestOfDay.date}`}
              </td>
              <td>{pairWords(one.strokeOut)}</td>
              <td>{pairWords(one.springSlack)}</td>
              <td>{pairWords(one.wearLimit)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
