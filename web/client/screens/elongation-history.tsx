import { useEffect, useRef } from 'preact/hooks';
import { localTime } from '../../../agent/units/local-time.js';
import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import { formatNumber, toShown, unitOf, type DisplayKind } from '../../../agent/units/display.js';
import type { DayAnswer } from '../../server/logic/answers.js';
import { ask } from '../state/api.js';
import { nowMs } from '../state/live.js';
import type { Place } from '../state/places.js';
import { themeChoice } from '../state/preferences.js';
import { site, units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';

const DAYS_BACK = 365;

/** A year of daily elongation, drawn and as a table. */
export function ElongationHistory({ conveyor, takeup }: Place) {
  const today = localTime(nowMs.value, site.value?.timezone ?? 'UTC').date;
  const from = dateOfDayNumber(dayNumberOf(today) - DAYS_BACK);
  const path = `/api/takeups/${encodeURIComponent(conveyor.id)}/${encodeURIComponent(takeup.id)}/days?from=${from}&to=${today}`;
  const answer = useAnswer(() => ask<readonly DayAnswer[]>('GET', path), [path]);
  return (
    <section class="history">
      <h2>Elongation, day by day</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <p class="problem">{answer.words}</p> : null}
      {answer.state === 'here' && answer.value.length === 0 ? (
        <p class="quiet-words">No day has settled yet: the first shows here tomorrow.</p>
      ) : null}
      {answer.state === 'here' && answer.value.length > 0 ? <Days days={answer.value} wearLimitPct={conveyor.chain.wearLimitPct} /> : null}
    </section>
  );
}

function Days({ days, wearLimitPct }: { readonly days: readonly DayAnswer[]; readonly wearLimitPct: number }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const theme = themeChoice.value;
  useEffect(() => {
    let drawn: { destroy: () => void } | undefined;
    let wanted = true;
    // The charts come only where one is shown: the floor is there sooner.
    void import('../charts/elongation-chart.js').then(({ drawElongation }) => {
      if (wanted && canvas.current !== null) drawn = drawElongation(canvas.current, days, wearLimitPct);
    });
    return () => {
      wanted = false;
      drawn?.destroy();
    };
  }, [days, wearLimitPct, theme]);
  return (
    <>
      <div class="chart">
        <canvas ref={canvas} role="img" aria-label="Elongation of the chain in per cent, day by day; the same as a table below" />
      </div>
      <details>
        <summary>As a table</summary>
        <DayTable days={days} />
      </details>
    </>
  );
}

const COLUMNS: readonly {
  readonly head: string;
  readonly kind: DisplayKind;
  readonly field: 'elongationPct' | 'positionMm' | 'skewMm' | 'breathingMm' | 'strandTensionN';
}[] = [
  { head: 'Elongation', kind: 'elongation', field: 'elongationPct' },
  { head: 'Position', kind: 'travel', field: 'positionMm' },
  { head: 'Skew', kind: 'travel', field: 'skewMm' },
  { head: 'Breathing', kind: 'travel', field: 'breathingMm' },
  { head: 'Strand tension', kind: 'force', field: 'strandTensionN' },
];

const DECIMALS: Readonly<Record<(typeof COLUMNS)[number]['field'], number>> = {
  elongationPct: 4,
  positionMm: 1,
  skewMm: 1,
  breathingMm: 1,
  strandTensionN: 0,
};

function DayTable({ days }: { readonly days: readonly DayAnswer[] }) {
  const system = units.value;
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="Daily values">
      <table>
        <thead>
          <tr>
            <th scope="col">Day</th>
            {COLUMNS.map(({ head, kind }) => (
              <th scope="col" key={head}>
                {head}, {unitOf(kind, system)}
              </th>
            ))}
            <th scope="col">Pitches</th>
            <th scope="col">Worth</th>
          </tr>
        </thead>
        <tbody>
          {days.toReversed().map((day) => (
            <tr key={day.date}>
              <th scope="row">{day.date}</th>
              {COLUMNS.map(({ head, kind, field }) => (
                <td key={head} class="number-cell">
                  {numberCell(day[field], kind, DECIMALS[field] + (system === 'imperial' && kind === 'travel' ? 1 : 0))}
                </td>
              ))}
              <td class="number-cell">{day.pitches}</td>
              <td>{day.flag === 'value' ? '' : day.flag}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );

  function numberCell(value: number | null, kind: DisplayKind, decimals: number): string {
    return value === null ? 'unknown' : formatNumber(toShown(kind, value, system), decimals);
  }
}
