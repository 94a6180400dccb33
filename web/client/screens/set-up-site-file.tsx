import { useEffect, useRef, useState } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import type { SiteFault } from '../../../agent/site/site-fault.js';
import type { SiteChangedAnswer, SiteCheckAnswer, SiteTextAnswer, SiteVersionAnswer } from '../../server/logic/set-up-answers.js';
import { changedLines } from '../logic/bench-words.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import { pictures } from '../state/live.js';
import { may, site, wordsOf } from '../state/session.js';
import { siteProposal, type SiteProposal } from '../state/site-proposal.js';
import { useAnswer, type Answer } from '../state/use-answer.js';

/** Whoever types is left in peace so long before the file is looked through. */
const CHECK_AFTER_MS = 500;

const APPLYING = 'Kept, and in force within a few seconds: the agent goes on from where it was, this screen comes back by itself.';
const FELL_BACK =
  'Another site file than the one you kept is in force: yours could not be started, as the log of the program says, or somebody else kept another since.';

/** The site file, changed in place with its faults at their lines, and what it was before. */
export function SiteFileEditor() {
  const mayChange = may('change-site');
  const [turn, setTurn] = useState(0);
  const text = useAnswer(
    () => (mayChange ? ask<SiteTextAnswer>('GET', '/api/site/text') : Promise.reject(new Error('engineers alone'))),
    [turn],
  );
  if (!mayChange) {
    return <p class="quiet-words">The site file names people’s addresses and the mail server, so engineers alone read and change it.</p>;
  }
  if (text.state === 'loading') return <p class="quiet-words">Asking …</p>;
  if (text.state === 'failed') return <NoAnswer failed={text} what="the site file" />;
  return <Editor key={turn} first={text.value.text} onChanged={() => setTurn((times) => times + 1)} />;
}

function Editor({ first, onChanged }: { readonly first: string; readonly onChanged: () => void }) {
  const [before, setBefore] = useState(first);
  // What the bench hands over is taken once: whoever comes back to the page later finds the file as it is.
  const [proposal] = useState(() => siteProposal.peek());
  useEffect(() => {
    siteProposal.value = undefined;
  }, []);
  const [text, setText] = useState(proposal?.text ?? first);
  const [why, setWhy] = useState(proposal?.why ?? '');
  const [checked, setChecked] = useState<{ readonly text: string; readonly answer: SiteCheckAnswer }>();
  const [words, setWords] = useState({ good: true, text: '' });
  const [busy, setBusy] = useState(false);
  const area = useRef<HTMLTextAreaElement>(null);
  const versions = useAnswer(() => ask<readonly SiteVersionAnswer[]>('GET', '/api/site/versions'), [words.text, pictures.value]);
  useInForce(before, first, setWords);
  useEffect(() => {
    const timer = setTimeout(() => {
      ask<SiteCheckAnswer>('POST', '/api/site/check', { text }).then(
        (answer) => setChecked({ text, answer }),
        (error: unknown) => setWords({ good: false, text: `The file could not be looked through. ${wordsOf(error)}` }),
      );
    }, CHECK_AFTER_MS);
    return () => clearTimeout(timer);
  }, [text, pictures.value]);
  const changed = text !== before;
  const sound = checked?.text === text && checked.answer.faults.length === 0;
  const apply = async (): Promise<void> => {
    setBusy(true);
    setWords({ good: true, text: '' });
    try {
      const answer = await ask<SiteChangedAnswer>('POST', '/api/site', { text, before, ...(why.trim() === '' ? {} : { why: why.trim() }) });
      setBefore(text);
      setWhy('');
      setWords({
        good: true,
        text: answer.applied ? APPLYING : `The file is ${answer.words}.`,
      });
    } catch (error) {
      setWords({ good: false, text: wordsOf(error) });
    }
    setBusy(false);
  };
  const goTo = (line: number): void => {
    const { current } = area;
    if (current === null) return;
    const from =
      text
        .split('\n')
        .slice(0, line - 1)
        .join('\n').length + (line > 1 ? 1 : 0);
    const to = text.indexOf('\n', from);
    current.focus();
    current.setSelectionRange(from, to < 0 ? text.length : to);
    current.scrollTop = ((line - 4) / text.split('\n').length) * current.scrollHeight;
  };
  return (
    <>
      <section class="site-file" aria-label="Site file">
        <label for="site-text">
          Site file, YAML. What is wrong with it stands below, with its line, half a second after you stop typing.
        </label>
        <textarea
          id="site-text"
          ref={area}
          class="yaml"
          spellcheck={false}
          wrap="off"
          rows={24}
          value={text}
          onInput={({ currentTarget }) => setText(currentTarget.value)}
        />
        <Faults checked={checked?.text === text ? checked.answer : undefined} goTo={goTo} />
        {proposal === undefined ? null : <Handed proposal={proposal} first={before} text={text} />}
        <label for="site-why">Why it is changed; kept with the change</label>
        <textarea
          id="site-why"
          rows={why === '' ? 2 : 8}
          maxLength={20_000}
          value={why}
          onInput={({ currentTarget }) => setWhy(currentTarget.value)}
        />
        <p class="file-tools">
          <button type="button" disabled={!changed || !sound || busy} onClick={() => void apply()}>
            Keep and apply
          </button>
          <button type="button" disabled={!changed || busy} onClick={() => setText(before)}>
            Undo all changes
          </button>
          <button type="button" disabled={busy} onClick={onChanged}>
            Read it anew
          </button>
        </p>
        <p class={words.good ? 'done' : 'problem'} role="status">
          {words.text}
        </p>
      </section>
      <Versions versions={versions} onTake={setText} />
    </>
  );
}

interface HandedProps {
  readonly proposal: SiteProposal;
  readonly first: string;
  readonly text: string;
}

/** What came from the bench, against the file in force. */
function Handed({ proposal, first, text }: HandedProps) {
  return (
    <section aria-labelledby="handed-head">
      <h3 id="handed-head">From the bench: what differs from the file in force</h3>
      {proposal.base === first ? null : (
        <p class="problem" role="alert">
          The site file was changed since it was tried on the bench. Look at every line below before you apply it.
        </p>
      )}
      <pre class="yaml" tabIndex={0} aria-label="Lines that differ from the file in force">
        {changedLines(first, text).join('\n') || 'Nothing.'}
      </pre>
    </section>
  );
}

/** Once the program is back from a change, it says whether it stands by what was kept. */
function useInForce(before: string, first: string, setWords: (words: { readonly good: boolean; readonly text: string }) => void): void {
  const back = pictures.value;
  const kept = useRef({ text: first, back });
  useEffect(() => {
    if (before !== kept.current.text) kept.current = { text: before, back };
    else if (back !== kept.current.back) {
      kept.current = { text: before, back };
      if (before === first) return;
      ask<SiteTextAnswer>('GET', '/api/site/text').then(
        ({ text }) => setWords(text === before ? { good: true, text: 'In force.' } : { good: false, text: FELL_BACK }),
        (error: unknown) => setWords({ good: false, text: wordsOf(error) }),
      );
    }
  }, [before, back]);
}

function Faults({ checked, goTo }: { readonly checked: SiteCheckAnswer | undefined; readonly goTo: (line: number) => void }) {
  if (checked === undefined) return <p class="quiet-words">Looking through it …</p>;
  const { faults, warnings } = checked;
  return (
    <div aria-live="polite">
      <p>
        {faults.length === 0
          ? 'No faults.'
          : `${faults.length} ${faults.length === 1 ? 'fault' : 'faults'}: it is not applied as it stands.`}
      </p>
      <ul class="fault-list">
        {[...faults, ...warnings].map((fault) => (
          <Fault
            key={`${fault.line} ${fault.column} ${fault.rule} ${fault.key}`}
            fault={fault}
            warning={warnings.includes(fault)}
            goTo={goTo}
          />
        ))}
      </ul>
    </div>
  );
}

function Fault({ fault, warning, goTo }: { readonly fault: SiteFault; readonly warning: boolean; readonly goTo: (line: number) => void }) {
  const { line, key, message, meant } = fault;
  return (
    <li class={warning ? 'warning' : 'fault'}>
      <button type="button" onClick={() => goTo(line)}>
        Line {line}
      </button>
      <span>
        {warning ? 'Look again: ' : ''}
        <code>{key}</code> {message}
        {meant === undefined ? '' : `. Probably meant: ${meant}.`}
      </span>
    </li>
  );
}

interface VersionsProps {
  readonly versions: Answer<readonly SiteVersionAnswer[]>;
  readonly onTake: (text: string) => void;
}

function Versions({ versions, onTake }: VersionsProps) {
  const [problem, setProblem] = useState('');
  const take = async (nr: number): Promise<void> => {
    try {
      onTake((await ask<SiteTextAnswer>('GET', `/api/site/versions/${nr}`)).text);
    } catch (error) {
      setProblem(wordsOf(error));
    }
  };
  return (
    <section aria-labelledby="versions-head">
      <h2 id="versions-head">What it was before</h2>
      {versions.state === 'failed' ? <NoAnswer failed={versions} what="what it was before" /> : null}
      {versions.state === 'here' && versions.value.length === 0 ? <p class="quiet-words">Nothing has been kept yet.</p> : null}
      <ul class="version-list">
        {(versions.state === 'here' ? versions.value : []).map(({ nr, timeMs, by, why }, index) => {
          const { date, minutes } = localTime(timeMs, site.value?.timezone ?? 'UTC');
          return (
            <li key={nr}>
              <span class="since">{`${date} ${minutes}`}</span> <span>{by ?? 'as it was found at a start'}</span>
              {index === 0 ? <span class="quiet-words">the latest</span> : null}
              <button type="button" onClick={() => void take(nr)}>
                Put into the field<span class="unseen"> the version of {`${date} ${minutes}`}</span>
              </button>
              {why === undefined ? null : (
                <details class="version-why">
                  <summary>Why: {why.split('\n')[0]}</summary>
                  <p>{why}</p>
                </details>
              )}
            </li>
          );
        })}
      </ul>
      <p class="problem" role="alert">
        {problem}
      </p>
    </section>
  );
}
