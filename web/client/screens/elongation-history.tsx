import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import { localTime } from '../../../agent/units/local-time.js';
import { showRange, showText } from '../../../agent/units/display.js';
import type { TrendNow } from '../../../agent/contract/messages.js';
import type { DayAnswer } from '../../server/logic/answers.js';
import { elongationFan, forecastMarks, forecastWords } from '../logic/elongation-fan.js';
import { fromField } from '../logic/site-clock.js';
import type { MarkGroup, TimelineMark, TimelineSpan } from '../logic/timeline-marks.js';
import { ChartTools } from '../parts/chart-tools.js';
import { NoAnswer } from '../parts/no-answer.js';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../parts/plot-sizes.js';
import { TimeLanes, pointedWords } from '../parts/time-lanes.js';
import { useWidth } from '../parts/use-width.js';
import { WholeDates } from '../parts/whole-dates.js';
import { loadDays, takeupPath } from '../state/history.js';
import { nowMs, takeupNow } from '../state/live.js';
import type { Place } from '../state/places.js';
import { themeShown } from '../state/preferences.js';
import { site, units } from '../state/session.js';
import { useAnswer } from '../state/use-answer.js';
import { DayTable, dayRows } from './day-table.js';

const DAYS_BACK = [90, 365, 3650] as const;
const BACK_WORDS: Readonly<Record<(typeof DAYS_BACK)[number], string>> = { 90: '90 days', 365: 'A year', 3650: 'Ten years' };

interface ElongationHistoryProps extends Place {
  readonly marks: readonly TimelineMark[];
}

/** Daily elongation with its forecast and what happened, drawn, in words and as a table. */
export function ElongationHistory({ conveyor, takeup, marks }: ElongationHistoryProps) {
  const [back, setBack] = useState<(typeof DAYS_BACK)[number]>(365);
  const today = localTime(nowMs.value, site.value?.timezone ?? 'UTC').date;
  const from = dateOfDayNumber(dayNumberOf(today) - back);
  const path = takeupPath(conveyor.id, takeup.id);
  const answer = useAnswer(() => loadDays(path, from, today), [path, from, today]);
  return (
    <section class="history" aria-labelledby="elongation-head">
      <div class="section-head">
        <h2 id="elongation-head">Elongation, day by day</h2>
        <fieldset class="spans">
          <legend class="unseen">How far back</legend>
          {DAYS_BACK.map((days) => (
            <label key={days}>
              <input type="radio" name="elongation-back" checked={back === days} onChange={() => setBack(days)} />
              {BACK_WORDS[days]}
            </label>
          ))}
        </fieldset>
      </div>
      {answer.state === 'loading' ? <p class="quiet-words">Asking …</p> : null}
      {answer.state === 'failed' ? <NoAnswer failed={answer} what="elongation, day by day" /> : null}
      {answer.state === 'here' && answer.value.length === 0 ? (
        <p class="quiet-words">No day has settled in this time: the first shows here the day after.</p>
      ) : null}
      {answer.state === 'here' && answer.value.length > 0 ? (
        <Days days={answer.value} conveyor={conveyor} takeup={takeup} marks={marks} />
      ) : null}
    </section>
  );
}

interface DaysProps extends ElongationHistoryProps {
  readonly days: readonly DayAnswer[];
}

function Days({ days, conveyor, takeup, marks }: DaysProps) {
  const trend = takeupNow(conveyor.id, takeup.id).value?.trend;
  // A new picture comes twice a second and its trend once a day.
  const trendText = JSON.stringify(trend ?? null);
  const picture = useMemo(() => pictureOf(days, trend, conveyor.chain.wearLimitPct, marks), [days, trendText, marks, conveyor]);
  const [frame, width] = useWidth<HTMLDivElement>();
  const canvas = useRef<HTMLCanvasElement>(null);
  const [pointed, setPointed] = useState<MarkGroup>();
  const theme = themeShown.value;
  useEffect(() => {
    let drawn: { destroy: () => void } | undefined;
    let wanted = true;
    // The charts come only where one is shown: the floor is there sooner.
    void import('../charts/elongation-chart.js').then(({ drawElongation }) => {
      if (wanted && canvas.current !== null) drawn = drawElongation(canvas.current, picture);
    });
    return () => {
      wanted = false;
      drawn?.destroy();
    };
  }, [picture, theme]);
  const name = `${conveyor.id}-${takeup.id}-elongation`;
  return (
    <>
      <p class="forecast-words">
        <WholeDates text={trendWords(trend)} />
      </p>
      <div class="chart-sheet" ref={frame}>
        <TimeLanes
          marks={marks}
          spans={picture.spans}
          window={picture.window}
          left={PLOT_LEFT_PX}
          width={width - PLOT_LEFT_PX - PLOT_RIGHT_PX}
          onPoint={setPointed}
        />
        <div class="chart">
          <canvas
            ref={canvas}
            role="img"
            aria-label="Elongation of the chain in per cent, day by day, and its forecast; the same in words above and as a table below"
          />
        </div>
        <p class="pointed" aria-hidden="true">
          {pointed === undefined
            ? 'Line: settled days, hollow where provisional or a bound. Dashes: the forecast with its 90 % interval. Point at a sign to read it.'
            : pointedWords(pointed)}
        </p>
      </div>
      <ChartTools
        name={name}
        title={`${conveyor.name} ${takeup.id}, elongation, %`}
        charts={() => (canvas.current === null ? [] : [canvas.current])}
        table={() => dayRows(days, units.value)}
      />
      <details>
        <summary>As a table</summary>
        <DayTable days={days} marks={marks} />
      </details>
    </>
  );
}

/** How fast it grows and where that leads, in sentences. */
function trendWords(trend: TrendNow | undefined): string {
  if (trend === undefined) return '';
  const slope = trend.elongationPctPerDay;
  const rate =
    slope === null
      ? ''
      : `It grows by ${showText('elongation-rate', slope.value, units.value)} (90 % interval ${showRange('elongation-rate', slope.low, slope.high, units.value)}). `;
  const dates = forecastMarks(trend).map(forecastWords);
  if (dates.length > 0) return `${rate}At that rate: ${dates.join('; ')}.`;
  return `${rate}${trend.why ?? 'No date follows from it yet.'}`;
}

function pictureOf(days: readonly DayAnswer[], trend: TrendNow | undefined, limitPct: number, marks: readonly TimelineMark[]) {
  const timezone = site.value?.timezone ?? 'UTC';
  const timeOf = (dayNumber: number): number => {
    const noon = fromField(`${dateOfDayNumber(dayNumber)}T12:00`, timezone) ?? 0;
    return noon + (dayNumber % 1) * 86_400_000;
  };
  const points = days.flatMap(({ date, elongationPct, flag }) =>
    elongationPct === null ? [] : [{ x: timeOf(dayNumberOf(date)), y: elongationPct, sure: flag === 'value' }],
  );
  const last = days.findLast(({ elongationPct, flag }) => elongationPct !== null && flag === 'value');
  const fan = elongationFan(last && { x: dayNumberOf(last.date), y: last.elongationPct ?? 0 }, trend);
  const line = (ends: readonly { readonly x: number; readonly y: number }[]) => ends.map(({ x, y }) => ({ x: timeOf(x), y }));
  const fromMs = points[0]?.x ?? nowMs.peek() - 86_400_000;
  const toMs = fan === undefined ? (points.at(-1)?.x ?? nowMs.peek()) + 86_400_000 : timeOf(fan.middle[1].x);
  return {
    window: { fromMs, toMs },
    points,
    ...(fan === undefined ? {} : { fan: { middle: line(fan.middle), low: line(fan.low), high: line(fan.high) } }),
    limitPct,
    spans: spansOf(trend, timeOf),
    cuts: marks.filter(({ cuts, timeMs }) => cuts && timeMs >= fromMs && timeMs <= toMs).map(({ timeMs }) => timeMs),
  };
}

/** The dates that the trend leads to, each with its early and late one. */
function spansOf(trend: TrendNow | undefined, timeOf: (dayNumber: number) => number): readonly TimelineSpan[] {
  const timeOfDate = (date: string): number => timeOf(dayNumberOf(date));
  return (trend === undefined ? [] : forecastMarks(trend)).map(({ what, date, early, late }) => ({
    fromMs: timeOfDate(early),
    atMs: timeOfDate(date),
    ...(late === null ? {} : { toMs: timeOfDate(late) }),
    words: what,
  }));
}
