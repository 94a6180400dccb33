import { formatNumber } from '../../../agent/units/display.js';
import type { DiskAnswer } from '../../server/logic/answers.js';
import { diskLines, diskSentences, sizeWords } from '../logic/disk-words.js';
import { NoAnswer } from '../parts/no-answer.js';
import { WholeDates } from '../parts/whole-dates.js';
import { useNarrow } from '../parts/use-narrow.js';
import { ask } from '../state/api.js';
import { site } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';

/** What the history takes on the disk, for how long each kind is kept, and what goes next. */
export function SetUpDisk() {
  const answer = useAnswer(() => ask<DiskAnswer>('GET', '/api/disk'), []);
  return (
    <section class="card disk" aria-labelledby="disk-head">
      <h2 id="disk-head">What the history takes</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="what the history takes" /> : null}
      {answer.state === 'here' ? <Disk disk={answer.value} /> : null}
    </section>
  );
}

function Disk({ disk }: { readonly disk: DiskAnswer }) {
  const { totalBytes, retention } = disk;
  const limit = retention?.maxBytes === undefined ? 'no limit but the disk itself' : `of ${sizeWords(retention.maxBytes)} that it may take`;
  return (
    <>
      <p>
        <b class="disk-total">{sizeWords(totalBytes)}</b>, {limit}.
      </p>
      <ul class="disk-next">
        {diskSentences(disk, Date.now(), site.value?.timezone ?? 'UTC').map(({ text, needsSomeone }) => (
          <li key={text} class={needsSomeone ? 'problem' : ''}>
            {needsSomeone ? '▲ Needs someone: ' : ''}
            <WholeDates text={text} />
          </li>
        ))}
      </ul>
      {useNarrow() ? <DiskCards disk={disk} /> : <DiskTable disk={disk} />}
      <p class="quiet-words">
        Set when the agent is started, with <span class="whole">--keep-raw</span>, <span class="whole">--keep-minutes</span> and{' '}
        <span class="whole">--max-disk</span>. Where a limit is reached the oldest raw readings go first, then minutes, then raw readings
        around what happened; days, alarms, findings and the service log always stay.
      </p>
    </>
  );
}

function DiskTable({ disk }: { readonly disk: DiskAnswer }) {
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="What the history takes, by kind">
      <table>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col" class="number-cell">
              Size
            </th>
            <th scope="col" class="number-cell">
              Share
            </th>
            <th scope="col" class="number-cell">
              Readings
            </th>
            <th scope="col">Kept</th>
          </tr>
        </thead>
        <tbody>
          {diskLines(disk).map(({ what, size, share, readings, kept }) => (
            <tr key={what}>
              <th scope="row">{what}</th>
              <td class="number-cell">{size}</td>
              <td class="number-cell">{formatNumber(100 * share, 0)} %</td>
              <td class="number-cell">{readings}</td>
              <td>{kept}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The same on a phone, a card a kind. */
function DiskCards({ disk }: { readonly disk: DiskAnswer }) {
  return (
    <ul class="signal-cards" aria-label="What the history takes, by kind">
      {diskLines(disk).map(({ what, size, share, readings, kept }) => (
        <li class="signal-card disk-card" key={what}>
          <h3>{what}</h3>
          <dl>
            <dt>Size</dt>
            <dd class="signal-is">
              {size}, {formatNumber(100 * share, 0)} %
            </dd>
            {readings === '' ? null : <CardFact words="Readings" value={readings} />}
            {kept === '' ? null : <CardFact words="Kept" value={kept} />}
          </dl>
        </li>
      ))}
    </ul>
  );
}

function CardFact({ words, value }: { readonly words: string; readonly value: string }) {
  return (
    <>
      <dt>{words}</dt>
      <dd>{value}</dd>
    </>
  );
}
