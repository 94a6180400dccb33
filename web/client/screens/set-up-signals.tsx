import { Fragment } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { SignalNow } from '../../../agent/contract/messages.js';
import type { Signal } from '../../../agent/site/site.js';
import { formatNumber, toShown, unitOf, type DisplayKind } from '../../../agent/units/display.js';
import type { SignalsAnswer } from '../../server/logic/set-up-answers.js';
import { numberOf, reasonOf } from '../logic/figure.js';
import { matches } from '../logic/search.js';
import { signalsOfConveyor } from '../logic/site-signals.js';
import { Age } from '../parts/figure-text.js';
import { useNarrow } from '../parts/use-narrow.js';
import { ask } from '../state/api.js';
import { isSignedOut, may, me, units, wordsOf } from '../state/session.js';
import { Calibration } from './set-up-calibration.js';
import { useChosenConveyor } from './set-up-conveyor.js';

const NONE_YET: ReadonlyMap<string, SignalNow> = new Map();
/** Asked for so often, while somebody looks. */
const EVERY_MS = 1000;

/** Every signal as it stands, raw and in engineering units; each position can be calibrated. */
export function SetUpSignals() {
  const { chosen, choice } = useChosenConveyor();
  const [words, setWords] = useState('');
  const [calibrating, setCalibrating] = useState<string>();
  const { signals, asking, problem } = useSignals(chosen?.id ?? '');
  const rows = (chosen === undefined ? [] : signalsOfConveyor(chosen)).filter(({ name, topic }) => matches(words, [name, topic]));
  const narrow = useNarrow();
  const rowOf = (signal: Signal): SignalRowProps => ({
    ...{ signal, now: signals.get(signal.name), calibrates: calibrating === signal.name },
    onCalibrate: () => setCalibrating(calibrating === signal.name ? undefined : signal.name),
  });
  return (
    <>
      <div class="tools">
        {choice}
        <label class="field">
          <span>Search</span>
          <input type="search" value={words} onInput={({ currentTarget }) => setWords(currentTarget.value)} />
        </label>
      </div>
      {asking && problem === '' && chosen !== undefined ? <p class="quiet-words">Asking …</p> : null}
      {problem === '' ? null : (
        <p class="problem" role="alert">
          {problem}
        </p>
      )}
      {narrow ? (
        <ul class="signal-cards" aria-label="Signals">
          {rows.map((signal) => (
            <SignalCard key={signal.name} {...rowOf(signal)} />
          ))}
        </ul>
      ) : (
        <SignalTable rows={rows.map(rowOf)} />
      )}
      <SelectedCalibration signal={rows.find(({ name }) => name === calibrating)} signals={signals} />
    </>
  );
}

function SelectedCalibration({
  signal,
  signals,
}: {
  readonly signal: Signal | undefined;
  readonly signals: ReadonlyMap<string, SignalNow>;
}) {
  if (signal === undefined) return null;
  return <Calibration key={signal.name} signal={signal} now={signals.get(signal.name)} />;
}

interface SignalRowProps {
  readonly signal: Signal;
  readonly now: SignalNow | undefined;
  readonly calibrates: boolean;
  readonly onCalibrate: () => void;
}

const KINDS: Readonly<Partial<Record<Signal['quantity'], DisplayKind>>> = {
  position: 'travel',
  spring: 'travel',
  speed: 'speed',
  temperature: 'temperature',
};
const STATE_WORDS: Readonly<Record<SignalNow['state'], string>> = {
  good: 'good',
  lost: 'silent',
  fault: 'fault',
  'never-read': 'never read',
};

function SignalTable({ rows }: { readonly rows: readonly SignalRowProps[] }) {
  return (
    <div class="table-frame signals" tabIndex={0} role="region" aria-label="Signals">
      <table>
        <thead>
          <tr>
            <th scope="col">Signal</th>
            <th scope="col" class="number-cell">
              Raw
            </th>
            <th scope="col" class="number-cell">
              Is
            </th>
            <th scope="col">State</th>
            <th scope="col">Last reading</th>
            <th scope="col">Not used</th>
            <th scope="col">Topic</th>
            <th scope="col">
              <span class="unseen">Calibrate</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <SignalRow key={row.signal.name} {...row} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function SignalRow(row: SignalRowProps) {
  const { signal, now } = row;
  return (
    <tr class={goodOrNot(now)}>
      <th scope="row">
        <Levels of={signal.name} />
      </th>
      <td class="number-cell">{rawText(signal, now)}</td>
      <td class="number-cell">{valueText(signal, now)}</td>
      <td>
        <State now={now} />
      </td>
      <td>{now === undefined ? 'unknown' : <Age at={now.at} />}</td>
      <td class="not-used">{rejectedText(now)}</td>
      <td class="topic">
        <Topic signal={signal} />
      </td>
      <td>
        <CalibrateButton {...row} />
      </td>
    </tr>
  );
}

/** The same for a phone, which has no room for eight columns. */
function SignalCard(row: SignalRowProps) {
  const { signal, now } = row;
  return (
    <li class={`signal-card ${goodOrNot(now)}`}>
      <h2>{signal.name}</h2>
      <dl>
        <dt>Is</dt>
        <dd class="signal-is">{valueText(signal, now)}</dd>
        <dt>Raw</dt>
        <dd>{rawText(signal, now)}</dd>
        <dt>State</dt>
        <dd>
          <State now={now} />
        </dd>
        <dt>Last reading</dt>
        <dd>{now === undefined ? 'unknown' : <Age at={now.at} />}</dd>
        <dt>Not used</dt>
        <dd>{rejectedText(now)}</dd>
        <dt>Topic</dt>
        <dd class="topic">
          <Topic signal={signal} />
        </dd>
      </dl>
      <CalibrateButton {...row} />
    </li>
  );
}

function CalibrateButton({ signal, calibrates, onCalibrate }: SignalRowProps) {
  const linear = signal.quantity === 'position' || signal.quantity === 'spring' || signal.quantity === 'temperature';
  if (!linear || !may('record-work')) return null;
  return (
    <button type="button" aria-expanded={calibrates} onClick={onCalibrate}>
      Calibrate<span class="unseen"> {signal.name}</span>
    </button>
  );
}

function State({ now }: Pick<SignalRowProps, 'now'>) {
  if (now === undefined) return <>unknown</>;
  return (
    <>
      <StateMark state={now.state} /> {STATE_WORDS[now.state]}
    </>
  );
}

function goodOrNot(now: SignalNow | undefined): string {
  return now === undefined || now.state === 'good' ? '' : 'not-good';
}

function rejectedText(now: SignalNow | undefined): string {
  if (now === undefined) return 'unknown';
  const rejected = Object.entries(now.rejected);
  return rejected.length === 0 ? 'none' : rejected.map(([reason, count]) => `${count} ${reason}`).join(', ');
}

function Topic({ signal: { topic, pointer } }: { readonly signal: Signal }) {
  return (
    <code>
      <Levels of={`${topic}${pointer ?? ''}`} />
    </code>
  );
}

/** Broken between its levels, where it must be broken. */
function Levels({ of }: { readonly of: string }) {
  const [first, ...levels] = of.split('/');
  return (
    <>
      {first}
      {levels.map((level, index) => (
        <Fragment key={index}>
          /<wbr />
          {level}
        </Fragment>
      ))}
    </>
  );
}

/** Abnormal is told by a shape as well. */
function StateMark({ state }: { readonly state: SignalNow['state'] }) {
  return (
    <svg class="state-mark" viewBox="0 0 12 12" aria-hidden="true">
      {state === 'good' ? <circle cx="6" cy="6" r="3.5" /> : <path d="M2 2 10 10 M10 2 2 10" />}
    </svg>
  );
}

/** Units of the site file whose name is not what people read. */
const RAW_UNITS: Readonly<Partial<Record<Signal['unit'], string>>> = { state: '', percent: '%', C: '°C', F: '°F' };

function rawText({ unit }: Signal, now: SignalNow | undefined): string {
  if (now === undefined) return 'unknown';
  if (now.raw === null) return 'none';
  return `${String(Number(now.raw.toFixed(4)))}\u00a0${RAW_UNITS[unit] ?? unit}`.trimEnd();
}

function valueText({ quantity }: Signal, now: SignalNow | undefined): string {
  const value = numberOf(now?.value);
  if (value === undefined) return `unknown${now === undefined ? '' : `, ${reasonOf(now.value) ?? ''}`}`;
  const kind = KINDS[quantity];
  if (kind === undefined) return value > 0.5 ? 'running' : 'standing';
  const system = units.value;
  return `${formatNumber(toShown(kind, value, system), system === 'imperial' && kind === 'travel' ? 3 : 2)}\u00a0${unitOf(kind, system)}`;
}

/** The signals of a conveyor, asked for once a second and no oftener than they are answered. */
interface Signals {
  readonly signals: ReadonlyMap<string, SignalNow>;
  /** Nothing has been answered yet. */
  readonly asking: boolean;
  readonly problem: string;
}

function useSignals(conveyor: string): Signals {
  const [signals, setSignals] = useState<ReadonlyMap<string, SignalNow>>();
  const [problem, setProblem] = useState('');
  useEffect(() => {
    let wanted = true;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const once = async (): Promise<void> => {
      try {
        const answer = await ask<SignalsAnswer>('GET', `/api/signals?conveyor=${encodeURIComponent(conveyor)}`);
        if (!wanted) return;
        setSignals(new Map(answer.signals.map((one) => [one.signal, one])));
        setProblem('');
      } catch (error) {
        if (isSignedOut(error)) me.value = null;
        else if (wanted) setProblem(wordsOf(error));
      }
      if (wanted) timer = setTimeout(() => void once(), EVERY_MS);
    };
    void once();
    return () => {
      wanted = false;
      clearTimeout(timer);
    };
  }, [conveyor]);
  return { signals: signals ?? NONE_YET, asking: signals === undefined, problem };
}
