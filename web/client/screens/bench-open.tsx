import { useRef, useState } from 'preact/hooks';
import type { RecordedAnswer } from '../../server/logic/answers.js';
import { BOTH_TIMES, recordedWords } from '../logic/bench-words.js';
import { fromField, toField } from '../logic/site-clock.js';
import { MomentField } from '../parts/moment-field.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { benchProblem, openOnBench } from '../state/bench.js';
import { nowMs } from '../state/live.js';
import { sending, sendRecording } from '../state/send-recording.js';
import { site, wordsOf } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import type { FixtureAnswer } from '../../server/bench/bench-answers.js';
import { BenchMapping } from './bench-mapping.js';

const SHIFT_MS = 8 * 3600_000;

/** Ways to put a recording on the bench. */
export function BenchOpen() {
  return (
    <>
      <p class="sentence">
        A recording is replayed here through the very pipeline that watches the plant, on its own clock: what was read, what was made of it,
        and what was told. Nothing of it reaches the plant, its alarms or its log.
      </p>
      <div class="bench-ways">
        <FromHistory />
        <FromRecorder />
        <FromFile />
        <FromFixture />
      </div>
    </>
  );
}

function FromHistory() {
  const timezone = site.value?.timezone ?? 'UTC';
  // The last shift, as it is when the page is opened: what is typed is not to move with the clock.
  const [from, setFrom] = useState(() => toField(nowMs.peek() - SHIFT_MS, timezone));
  const [to, setTo] = useState(() => toField(nowMs.peek(), timezone));
  const open = (event: SubmitEvent): void => {
    event.preventDefault();
    const [fromMs, toMs] = [fromField(from, timezone), fromField(to, timezone)];
    if (fromMs === undefined || toMs === undefined) benchProblem.value = BOTH_TIMES;
    else void openOnBench({ source: { kind: 'history', fromMs, toMs } });
  };
  return (
    <form class="card" onSubmit={open}>
      <h2>A stretch of this plant’s history</h2>
      <MomentField label="From, on the site’s clock" value={from} onChange={setFrom} />
      <MomentField label="To" value={to} onChange={setTo} />
      <button type="submit">Replay this stretch</button>
    </form>
  );
}

/** What the flight recorder keeps for good: the minutes around everything that happened. */
function FromRecorder() {
  const answer = useAnswer(() => ask<RecordedAnswer>('GET', '/api/recorder?limit=200'), []);
  const kept = answer.state === 'here' ? answer.value : [];
  const [id, setId] = useState<string | undefined>(undefined);
  const chosen = kept.find((one) => one.id === id) ?? kept[0];
  const open = (event: SubmitEvent): void => {
    event.preventDefault();
    if (chosen !== undefined) void openOnBench({ source: { kind: 'history', fromMs: chosen.fromMs, toMs: chosen.toMs } });
  };
  return (
    <form class="card" onSubmit={open}>
      <h2>Around an alarm, a finding or an entry</h2>
      <label>
        What happened, latest first
        <select name="recorded" value={chosen?.id} onChange={({ currentTarget }) => setId(currentTarget.value)}>
          {kept.map((one) => (
            <option key={one.id} value={one.id}>
              {recordedWords(one, site.value?.timezone ?? 'UTC')}
            </option>
          ))}
        </select>
      </label>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="what happened" /> : null}
      {answer.state === 'here' ? (
        <p class="quiet-words">{kept.length === 0 ? 'Nothing has happened yet.' : 'Readings around it are kept for good.'}</p>
      ) : null}
      <button type="submit" disabled={chosen === undefined}>
        Replay what was around it
      </button>
    </form>
  );
}

function FromFile() {
  const [busy, setBusy] = useState(false);
  const [map, setMap] = useState('');
  const form = useRef<HTMLFormElement>(null);
  const sent = useRef<{ readonly key: string; readonly upload: string } | undefined>(undefined);
  const fileOf = (name: string): File | undefined => {
    const value = form.current === null ? null : new FormData(form.current).get(name);
    return value instanceof File && value.name !== '' ? value : undefined;
  };
  /** A recording that was looked at need not be sent again. */
  const upload = async (): Promise<string | undefined> => {
    const file = fileOf('recording');
    if (file === undefined) return undefined;
    const key = `${file.name} ${file.size} ${file.lastModified}`;
    if (sent.current?.key !== key) sent.current = { key, upload: await sendRecording(file) };
    return sent.current.upload;
  };
  const open = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    const textOf = async (name: string): Promise<string | undefined> => fileOf(name)?.text();
    benchProblem.value = '';
    setBusy(true);
    try {
      const [serviceText, siteText] = [await textOf('service'), await textOf('site')];
      const id = await upload();
      if (id !== undefined)
        await openOnBench({
          source: { kind: 'upload', upload: id, ...(map.trim() === '' ? {} : { mapText: map }) },
          ...(serviceText === undefined ? {} : { serviceText }),
          ...(siteText === undefined ? {} : { siteText }),
        });
    } catch (error) {
      benchProblem.value = wordsOf(error);
    }
    setBusy(false);
  };
  return (
    <form class="card" ref={form} onSubmit={(event) => void open(event)}>
      <h2>A recording from a file</h2>
      <label>
        CSV, .csv.gz or Parquet
        <input name="recording" type="file" required />
      </label>
      <details>
        <summary>Service entries, another site, another form</summary>
        <label>
          Service entries, JSON lines
          <input name="service" type="file" />
        </label>
        <label>
          Site file, if not this site
          <input name="site" type="file" />
        </label>
        <BenchMapping upload={upload} map={map} onMap={setMap} />
      </details>
      {sending.value === undefined ? null : (
        <div class="bench-progress">
          <p role="status">Sending: {Math.floor(10 * sending.value.share) * 10} %</p>
          <progress aria-label="How much of it is sent" value={sending.value.share} max={1} />
          <button type="button" onClick={sending.value.cancel}>
            Cancel
          </button>
        </div>
      )}
      <button type="submit" disabled={busy}>
        {busy ? 'Sending …' : 'Send and replay'}
      </button>
    </form>
  );
}

function FromFixture() {
  const answer = useAnswer(() => ask<readonly FixtureAnswer[]>('GET', '/api/bench/fixtures'), []);
  const fixtures = answer.state === 'here' ? answer.value : [];
  const [name, setName] = useState<string | undefined>(undefined);
  const chosen = fixtures.find((fixture) => fixture.name === name) ?? fixtures[0];
  const open = (event: SubmitEvent): void => {
    event.preventDefault();
    if (chosen !== undefined) void openOnBench({ source: { kind: 'fixture', name: chosen.name } });
  };
  return (
    <form class="card" onSubmit={open}>
      <h2>A case that was kept</h2>
      <label>
        Case
        <select name="fixture" value={chosen?.name} onChange={({ currentTarget }) => setName(currentTarget.value)}>
          {fixtures.map((fixture) => (
            <option key={fixture.name} value={fixture.name}>
              {fixture.name.replaceAll('-', ' ')}
            </option>
          ))}
        </select>
      </label>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="cases that were kept" /> : null}
      {answer.state === 'here' ? <p class="quiet-words">{chosen === undefined ? 'There is none yet.' : aboutOf(chosen)}</p> : null}
      <button type="submit" disabled={chosen === undefined}>
        Replay this case
      </button>
    </form>
  );
}

/** Its text without the heading. */
function aboutOf({ about }: FixtureAnswer): string {
  return about
    .replace(/^#[^\n]*\n+/, '')
    .replaceAll('\n', ' ')
    .trim();
}
