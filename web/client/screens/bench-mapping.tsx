import { useState } from 'preact/hooks';
import type { ForeignPreview } from '../../../agent/contract/bench.js';
import { rejectWords } from '../logic/bench-words.js';
import { proposedMap } from '../logic/proposed-map.js';
import { timeWords } from '../logic/site-clock.js';
import { ask } from '../state/api.js';
import { site, wordsOf } from '../state/session.js';

interface MappingProps {
  /** Sends the chosen recording in, once, and says what it is known by; undefined where none is chosen. */
  readonly upload: () => Promise<string | undefined>;
  readonly map: string;
  readonly onMap: (map: string) => void;
}

/** How a recording in somebody else's form is read: a small mapping, and what the file's beginning reads as by it. */
export function BenchMapping({ upload, map, onMap }: MappingProps) {
  const [preview, setPreview] = useState<ForeignPreview | undefined>(undefined);
  const [problem, setProblem] = useState('');
  const [busy, setBusy] = useState(false);
  const timezone = site.value?.timezone ?? 'UTC';
  const look = async (): Promise<void> => {
    setProblem('');
    setBusy(true);
    try {
      const id = await upload();
      if (id === undefined) setProblem('Choose the recording first.');
      else {
        const askFor = (mapText?: string): Promise<ForeignPreview> =>
          ask('POST', '/api/bench/preview', { upload: id, ...(mapText === undefined ? {} : { mapText }) });
        const text = map.trim() === '' ? await askFor().then(({ lines, signals }) => proposedMap(lines, signals, timezone)) : map;
        onMap(text);
        setPreview(await askFor(text));
      }
    } catch (error) {
      setProblem(wordsOf(error));
    }
    setBusy(false);
  };
  const load = async (file: File | undefined): Promise<void> => {
    if (file !== undefined) onMap(await file.text());
  };
  return (
    <div class="bench-mapping">
      <label>
        Mapping, if it is not in Takeline’s form
        <textarea rows={map === '' ? 2 : 10} spellcheck={false} value={map} onInput={({ currentTarget }) => onMap(currentTarget.value)} />
      </label>
      <label>
        …or from a mapping file
        <input type="file" onChange={({ currentTarget }) => void load(currentTarget.files?.[0])} />
      </label>
      <button type="button" disabled={busy} onClick={() => void look()}>
        {busy ? 'Looking …' : map.trim() === '' ? 'Propose a mapping' : 'Look how it reads'}
      </button>
      <p class="problem" role="alert">
        {problem || preview?.words}
      </p>
      {preview === undefined ? null : <Preview preview={preview} timezone={timezone} />}
    </div>
  );
}

function Preview({ preview, timezone }: { readonly preview: ForeignPreview; readonly timezone: string }) {
  const { lines, readings, read } = preview;
  return (
    <>
      <h3>The file begins</h3>
      <pre class="bench-diff" tabIndex={0} aria-label="First lines of the file">
        {lines.join('\n')}
      </pre>
      {read === undefined ? null : (
        <>
          <h3>It reads as</h3>
          <p role="status">{readWords(read)}</p>
          <div class="table-frame" tabIndex={0} role="region" aria-label="First readings of the file">
            <table>
              <thead>
                <tr>
                  <th scope="col">Time, on the site’s clock</th>
                  <th scope="col">Signal</th>
                  <th scope="col" class="number-cell">
                    Raw value
                  </th>
                </tr>
              </thead>
              <tbody>
                {readings.map(({ timeMs, signal, value }) => (
                  <tr key={`${timeMs} ${signal}`}>
                    <td>{timeWords(timeMs, timezone)}</td>
                    <td>{signal}</td>
                    <td class="number-cell">{value ?? 'no number'}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </>
      )}
    </>
  );
}

function readWords({ rows, readings, rejected, notes }: NonNullable<ForeignPreview['read']>): string {
  const counts = Object.entries(rejected) as [Parameters<typeof rejectWords>[0], number][];
  return [
    `${readings} readings in the ${rows} rows looked at.`,
    ...(counts.length === 0 ? [] : [`Not used: ${counts.map(([reason, count]) => `${count} ${rejectWords(reason)}`).join(', ')}.`]),
    ...(notes.missing === 0 ? [] : [`${notes.missing} fields held no reading.`]),
    ...(notes.outOfOrder === 0 ? [] : [`${notes.outOfOrder} stood out of order and were sorted.`]),
    ...(notes.ambiguous === 0 ? [] : [`${rowsHave(notes.ambiguous)} a local time that comes twice as daylight saving ends.`]),
    ...(notes.skipped === 0 ? [] : [`${rowsHave(notes.skipped)} a local time that the clock skips.`]),
  ].join(' ');
}

function rowsHave(count: number): string {
  return count === 1 ? '1 row has' : `${count} rows have`;
}
