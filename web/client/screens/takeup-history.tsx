import { useMemo, useRef, useState } from 'preact/hooks';
import { dateOfDayNumber } from '../../../agent/units/local-day.js';
import type { DayAnswer } from '../../server/logic/answers.js';
import { QUANTITIES, quantitiesOf, type HistoryStretch, type Quantity } from '../logic/history-series.js';
import { sourceWords } from '../logic/history-words.js';
import type { MarkGroup, TimelineMark } from '../logic/timeline-marks.js';
import { atLiveEnd, latest, widthOf, type TimeBounds, type TimeWindow } from '../logic/time-window.js';
import { ChartTools } from '../parts/chart-tools.js';
import { HistoryBrush } from '../parts/history-brush.js';
import { HistoryChoice, RUNNING } from '../parts/history-choice.js';
import { HistoryPlots } from '../parts/history-plots.js';
import { NoAnswer } from '../parts/no-answer.js';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../parts/plot-sizes.js';
import { TimeLanes, pointedWords } from '../parts/time-lanes.js';
import { WindowTools } from '../parts/window-tools.js';
import { useWidth } from '../parts/use-width.js';
import { takeupPath, loadDays } from '../state/history.js';
import { nowMs } from '../state/live.js';
import { leftOutOfHistory } from '../state/preferences.js';
import type { Place } from '../state/places.js';
import { units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { useHistory } from '../state/use-history.js';
import { HistoryTable, historyRows } from './history-table.js';

const DAY_MS = 86_400_000;
const FIRST_SHOWN_MS = 30 * DAY_MS;
const LONGEST_MS = 3650 * DAY_MS;

/** Position, springs, tension, heat, temperatures and the conveyor's running from minutes to years, with the same as a table. */
export function TakeupHistory({ conveyor, takeup, marks }: Place & { readonly marks: readonly TimelineMark[] }) {
  const path = takeupPath(conveyor.id, takeup.id);
  const [asked] = useState(nowMs.peek());
  const dates = [asked - LONGEST_MS, asked + DAY_MS].map((timeMs) => dateOfDayNumber(timeMs / DAY_MS)) as [string, string];
  const days = useAnswer(() => loadDays(path, ...dates), [path]);
  return (
    <section class="history" aria-labelledby="history-head">
      <h2 id="history-head">Position, springs, tension, heat</h2>
      {days.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {days.state === 'failed' ? <NoAnswer failed={days} what="position, springs, tension, heat" /> : null}
      {days.state === 'here' ? <Explorer conveyor={conveyor} takeup={takeup} marks={marks} days={days.value} /> : null}
    </section>
  );
}

interface ExplorerProps extends Place {
  readonly marks: readonly TimelineMark[];
  readonly days: readonly DayAnswer[];
}

function Explorer({ conveyor, takeup, marks, days }: ExplorerProps) {
  const path = takeupPath(conveyor.id, takeup.id);
  const now = nowMs.value;
  const [firstDay] = days;
  const bounds: TimeBounds = { fromMs: firstDay === undefined ? now - DAY_MS : Date.parse(firstDay.date), toMs: now };
  const [chosen, setChosen] = useState<TimeWindow>(() => latest(FIRST_SHOWN_MS, bounds));
  const [follows, setFollows] = useState(true);
  const [frame, width] = useWidth<HTMLDivElement>();
  const plotPx = Math.max(0, width - PLOT_LEFT_PX - PLOT_RIGHT_PX);
  const window = useFollowed(chosen, follows, bounds, plotPx);
  const choose = (next: TimeWindow): void => {
    setChosen(next);
    setFollows(atLiveEnd(next, bounds));
  };
  const history = useHistory(conveyor.id, takeup.id, path, window, plotPx);
  const [pointed, setPointed] = useState<MarkGroup>();
  const charts = useRef<HTMLDivElement>(null);
  const known = drawable(history.stretch, days);
  const shown = known.filter((quantity) => !leftOutOfHistory.value.includes(quantity));
  const canvases = (): readonly HTMLCanvasElement[] => [...(charts.current?.querySelectorAll('canvas') ?? [])];
  return (
    <>
      <WindowTools window={window} bounds={bounds} follows={follows} choose={choose} />
      <HistoryChoice known={known} runs={history.stretch.running !== null} />
      {history.problem === '' ? null : (
        <NoAnswer failed={{ words: history.problem, asking: history.asking, again: history.again }} what="this stretch of time" />
      )}
      <div class="chart-sheet" ref={frame}>
        <TimeLanes marks={marks} window={window} left={PLOT_LEFT_PX} width={plotPx} onPoint={setPointed} />
        <div ref={charts}>
          <HistoryPlots
            conveyor={conveyor}
            takeup={takeup}
            stretch={history.stretch}
            strip={!leftOutOfHistory.value.includes(RUNNING)}
            shown={shown}
            days={days}
            window={window}
            bounds={bounds}
            plotPx={plotPx}
            choose={choose}
          />
        </div>
        <HistoryBrush days={days} window={window} bounds={bounds} plotPx={plotPx} choose={choose} />
        <p class="pointed" aria-hidden="true">
          {pointed === undefined ? legendWords(history.stretch, follows) : pointedWords(pointed)}
        </p>
      </div>
      <p class="quiet-words source-words">{sourceWords(history.stretch)}</p>
      <ChartTools
        name={`${conveyor.id}-${takeup.id}-history`}
        title={`${conveyor.name} ${takeup.id}`}
        charts={canvases}
        table={() => historyRows(history.stretch, window, units.value)}
      />
      <details>
        <summary>As a table</summary>
        <HistoryTable stretch={history.stretch} window={window} />
      </details>
    </>
  );
}

/** What there is to draw: the position always, the rest where something of it is known. */
function drawable(stretch: HistoryStretch, days: readonly DayAnswer[]): readonly Quantity[] {
  const known = new Set<Quantity>(['position', ...quantitiesOf(stretch)]);
  if (days.some(({ thermalMm }) => thermalMm !== null && thermalMm !== 0)) known.add('heat');
  const own = QUANTITIES.filter((quantity) => known.has(quantity));
  return [...own, ...[...known].filter((quantity) => quantity.startsWith('temperature '))];
}

/** The window as chosen, moved on with the present while it follows it: by whole pixels, since a finer move shows nothing. */
function useFollowed(chosen: TimeWindow, follows: boolean, bounds: TimeBounds, plotPx: number): TimeWindow {
  const pixelMs = widthOf(chosen) / Math.max(1, plotPx);
  const ahead = follows ? Math.floor((bounds.toMs - chosen.toMs) / pixelMs) * pixelMs : 0;
  return useMemo(() => ({ fromMs: chosen.fromMs + ahead, toMs: chosen.toMs + ahead }), [chosen, ahead]);
}

function legendWords(stretch: HistoryStretch, follows: boolean): string {
  if (quantitiesOf(stretch).length === 0) return 'Nothing was read in this time.';
  return `Band: furthest in and out. Thin line: mean. Strong line: settled, a value a day. Gaps: nothing was read.${follows ? ' Follows the present.' : ''}`;
}
