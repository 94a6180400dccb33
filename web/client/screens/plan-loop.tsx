import { useEffect, useRef, useState } from 'preact/hooks';
import { toShown, unitOf } from '../../../agent/units/display.js';
import type { LoopAnswer } from '../../server/logic/plan-answers.js';
import { loopSeries, loopTable, type Loop, type LoopTable } from '../logic/loop-series.js';
import { NoAnswer } from '../parts/no-answer.js';
import { ask } from '../state/api.js';
import type { Place } from '../state/places.js';
import { themeShown } from '../state/preferences.js';
import { units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';

interface PlanLoopProps extends Place {
  /** Changes when the figures are taken anew. */
  readonly asked: number;
}

/** Tension around the loop with the springs as they are: where the chain is slackest, what the drive pulls, what the springs must give. */
export function PlanLoop({ conveyor, takeup, asked }: PlanLoopProps) {
  const path = `/api/conveyors/${encodeURIComponent(conveyor.id)}/loop?units=${units.value}`;
  const answer = useAnswer(() => ask<LoopAnswer>('GET', path), [path, asked]);
  return (
    <section class="loop">
      <h2>Tension around the loop</h2>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="tension around the loop" /> : null}
      {answer.state === 'here' ? <Answer answer={answer.value} takeup={takeup.id} /> : null}
    </section>
  );
}

function Answer({ answer, takeup }: { readonly answer: LoopAnswer; readonly takeup: string }) {
  return (
    <>
      {answer.refused.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {answer.loop === null || answer.takeup === null || answer.takeup === takeup ? null : (
        <p>Told from take-up {answer.takeup}, at which the path begins.</p>
      )}
      {answer.loop === null ? null : <Walked loop={answer.loop} />}
    </>
  );
}

function Walked({ loop }: { readonly loop: Loop }) {
  const { forwards, backwards, standsSentence } = loop;
  const [withBackwards, setWithBackwards] = useState(backwards.runsSo);
  return (
    <>
      <ul class="plain-list">
        {[...forwards.sentences, standsSentence].map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
      <label class="tick">
        <input type="checkbox" checked={withBackwards} onChange={(event) => setWithBackwards(event.currentTarget.checked)} />
        {backwards.runsSo ? 'Show how it runs backwards' : 'Show what running backwards would do; this conveyor does not reverse'}
      </label>
      {withBackwards ? (
        <ul class="plain-list">
          {backwards.sentences.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      ) : null}
      <Drawn loop={loop} withBackwards={withBackwards} />
      <details>
        <summary>As a table</summary>
        <Table table={loopTable(loop, withBackwards, units.value)} />
      </details>
    </>
  );
}

function Drawn({ loop, withBackwards }: { readonly loop: Loop; readonly withBackwards: boolean }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const theme = themeShown.value;
  const system = units.value;
  useEffect(() => {
    let drawn: { destroy: () => void } | undefined;
    let wanted = true;
    const series = loopSeries(loop, withBackwards, system);
    const least = loop.leastTensionN > 0 ? toShown('force', loop.leastTensionN, system) : undefined;
    // The charts come only where one is shown: the floor is there sooner.
    void import('../charts/loop-chart.js').then(({ drawLoop }) => {
      if (wanted && canvas.current !== null) drawn = drawLoop(canvas.current, { series, least, system });
    });
    return () => {
      wanted = false;
      drawn?.destroy();
    };
  }, [loop, withBackwards, theme, system]);
  return (
    <div class="chart">
      <canvas ref={canvas} role="img" aria-label="Tension of the chain along the loop from the take-up; the same as a table below" />
    </div>
  );
}

function Table({ table: { columns, rows } }: { readonly table: LoopTable }) {
  return (
    <div class="table-frame" tabIndex={0} role="region" aria-label="Tension around the loop">
      <table>
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col">At, {unitOf('chain-length', units.value)}</th>
            {columns.map((column) => (
              <th scope="col" key={column}>
                {column}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ place, at, tensions }, index) => (
            <tr key={`${place} ${String(index)}`}>
              <th scope="row">{place}</th>
              <td class="number-cell">{at}</td>
              {tensions.map((tension, column) => (
                <td key={columns[column]} class="number-cell">
                  {tension}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
