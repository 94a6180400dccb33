import { useMemo } from 'preact/hooks';
import { formatNumber } from '../../../agent/units/display.js';
import { localTime } from '../../../agent/units/local-time.js';
import type { AlarmName } from '../../server/logic/alarm-calls.js';
import type { AlarmCount } from '../../server/logic/judge-alarms.js';
import type { JudgedAnswer } from '../../server/logic/judged-answer.js';
import { ageWords } from '../logic/age.js';
import { alarmTitle, priorityWords } from '../logic/alarm-words.js';
import { acknowledgeWords, judgedFigures, priorityShares, shareWords } from '../logic/judged-words.js';
import { placeWords } from '../state/places.js';
import { AlarmChart } from './alarm-chart.js';

/** The figures of the span beside what is aimed at; one that misses its aim says so in a word. */
export function FigureTable({ answer }: { readonly answer: JudgedAnswer }) {
  return (
    <table class="judged-figures">
      <thead>
        <tr>
          <th scope="col">Figure</th>
          <th scope="col" class="number-cell">
            Here
          </th>
          <th scope="col">Usual aim</th>
          <th scope="col">
            <span class="unseen">Verdict</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {judgedFigures(answer.figures).map(({ name, value, aim, missed }) => (
          <tr key={name} class={missed ? 'missed' : ''}>
            <th scope="row">{name}</th>
            <td class="number-cell">{value}</td>
            <td>{aim ?? ''}</td>
            <td>{missed ? '▲ more than aimed at' : ''}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** What share of the alarms each priority has. */
export function PriorityTable({ answer }: { readonly answer: JudgedAnswer }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Priority</th>
          <th scope="col" class="number-cell">
            Alarms
          </th>
          <th scope="col" class="number-cell">
            Share
          </th>
          <th scope="col">Usual</th>
        </tr>
      </thead>
      <tbody>
        {priorityShares(answer.figures).map(({ priority, alarms, share, usual }) => (
          <tr key={priority}>
            <th scope="row">{priorityWords(priority)}</th>
            <td class="number-cell">{alarms}</td>
            <td class="number-cell">{shareWords(share)}</td>
            <td>{usual}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Alarms with how often they came. */
export function CountTable({
  label,
  counts,
  none,
}: {
  readonly label: string;
  readonly counts: readonly AlarmCount[];
  readonly none: string;
}) {
  if (counts.length === 0) return <p class="quiet-words">{none}</p>;
  return (
    <table aria-label={label}>
      <thead>
        <tr>
          <th scope="col">Alarm</th>
          <th scope="col">Where</th>
          <th scope="col" class="number-cell">
            Times
          </th>
          <th scope="col" class="number-cell">
            Share
          </th>
        </tr>
      </thead>
      <tbody>
        {counts.map(({ name, alarms, share }) => (
          <tr key={name.id}>
            <NameCells name={name} />
            <td class="number-cell">{alarms}</td>
            <td class="number-cell">{shareWords(share)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Alarms that have stood for over a day. */
export function StaleTable({ answer }: { readonly answer: JudgedAnswer }) {
  if (answer.stale.length === 0) return <p class="quiet-words">None has stood for so long.</p>;
  return (
    <table aria-label="Stale alarms">
      <thead>
        <tr>
          <th scope="col">Alarm</th>
          <th scope="col">Where</th>
          <th scope="col">Standing since</th>
        </tr>
      </thead>
      <tbody>
        {answer.stale.map(({ name, fromMs }) => (
          <tr key={name.id}>
            <NameCells name={name} />
            <td>
              {fromMs === null
                ? 'before anything is known'
                : `${minuteOf(fromMs, answer.timezone)}, for ${ageWords(answer.figures.toMs - fromMs)}`}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function NameCells({ name }: { readonly name: AlarmName }) {
  return (
    <>
      <th scope="row">
        {alarmTitle(name)} <span class="note">{priorityWords(name.priority).toLowerCase()}</span>
      </th>
      <td>{placeWords(name)}</td>
    </>
  );
}

/** The span in its periods. */
export function PeriodSection({ answer }: { readonly answer: JudgedAnswer }) {
  const byDay = answer.kind === 'month';
  const bars = useMemo(
    () =>
      answer.periods.map(({ fromMs, alarms, standing }) => {
        const { date, minutes } = localTime(fromMs, answer.timezone);
        return { name: byDay ? date.slice(5) : minutes, alarms, standing };
      }),
    [answer],
  );
  return (
    <section aria-label="Through the span">
      <h2>{byDay ? 'Day by day' : 'In periods of 10 minutes'}</h2>
      <AlarmChart label="Alarms that came and that stood" bars={bars} {...(byDay ? {} : { limit: 10 })} />
      <details>
        <summary>As a table</summary>
        <div class="table-frame" tabIndex={0} role="region" aria-label="Periods">
          <table>
            <thead>
              <tr>
                <th scope="col">From</th>
                <th scope="col" class="number-cell">
                  Alarms
                </th>
                {byDay ? (
                  <th scope="col" class="number-cell">
                    Most in 10 min
                  </th>
                ) : null}
                <th scope="col" class="number-cell">
                  Standing at the end
                </th>
              </tr>
            </thead>
            <tbody>
              {answer.periods.map(({ fromMs, alarms, peakPeriod, standing }) => (
                <tr key={fromMs}>
                  <th scope="row">{minuteOf(fromMs, answer.timezone)}</th>
                  <td class="number-cell">{alarms}</td>
                  {byDay ? <td class="number-cell">{peakPeriod}</td> : null}
                  <td class="number-cell">{standing}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </section>
  );
}

/** The span beside those before it. */
export function SeriesSection({ answer, onPick }: { readonly answer: JudgedAnswer; readonly onPick: (atMs: number) => void }) {
  const bars = useMemo(() => answer.series.map(({ name, alarms, standing }) => ({ name, alarms, standing })), [answer]);
  return (
    <section aria-label="Beside those before it">
      <h2>Beside those before it</h2>
      <AlarmChart label="Alarms of each span" bars={bars} />
      <details open>
        <summary>As a table</summary>
        <div class="table-frame" tabIndex={0} role="region" aria-label="Spans">
          <table>
            <thead>
              <tr>
                {['Span', 'Alarms', 'In 10 min', 'Most in 10 min', 'Periods over 10', 'Chattering', 'Fleeting', 'Stale', 'Standing'].map(
                  (head) => (
                    <th scope="col" key={head} class={head === 'Span' ? '' : 'number-cell'}>
                      {head}
                    </th>
                  ),
                )}
                <th scope="col" class="number-cell">
                  Acknowledged: half, nine in ten within
                </th>
              </tr>
            </thead>
            <tbody>
              {answer.series.toReversed().map((one) => (
                <tr key={one.fromMs}>
                  <th scope="row" class="whole">
                    <button type="button" class="link" aria-label={`Judge ${one.name}`} onClick={() => onPick(one.fromMs)}>
                      {one.name}
                    </button>
                  </th>
                  <td class="number-cell">{one.alarms}</td>
                  <td class="number-cell">{one.perPeriod === null ? '–' : formatNumber(one.perPeriod, 2)}</td>
                  <td class="number-cell">{one.peakPeriod}</td>
                  <td class="number-cell">{shareWords(one.overShare)}</td>
                  <td class="number-cell">{one.chattering}</td>
                  <td class="number-cell">{one.fleeting}</td>
                  <td class="number-cell">{one.stale}</td>
                  <td class="number-cell">{one.standing}</td>
                  <td class="number-cell">{acknowledgeWords(one)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </section>
  );
}

function minuteOf(timeMs: number, timezone: string): string {
  const { date, minutes } = localTime(timeMs, timezone);
  return `${date} ${minutes}`;
}
