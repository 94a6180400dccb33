import { useEffect, useMemo, useRef } from 'preact/hooks';
import { formatNumber, toShown, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import type { HistoryChart, HistoryPicture } from '../charts/history-chart.js';
import type { DayAnswer } from '../../server/logic/answers.js';
import { rowsIn, type HistoryRow, type HistoryStretch, type Quantity } from '../logic/history-series.js';
import { quantityWords } from '../logic/history-words.js';
import { movedBy, widthOf, windowAfterKey, zoom, type TimeBounds, type TimeWindow } from '../logic/time-window.js';
import type { Place } from '../state/places.js';
import { themeShown } from '../state/preferences.js';
import { units } from '../state/session.js';
import { PLOT_LEFT_PX } from './plot-sizes.js';
import { RunningStrip } from './running-strip.js';

interface HistoryPlotsProps extends Place {
  readonly stretch: HistoryStretch;
  /** Whether the strip of the conveyor's running stands above them. */
  readonly strip: boolean;
  /** What is drawn, from above to below. */
  readonly shown: readonly Quantity[];
  readonly days: readonly DayAnswer[];
  readonly window: TimeWindow;
  readonly bounds: TimeBounds;
  readonly plotPx: number;
  readonly choose: (window: TimeWindow) => void;
}

/** One chart a quantity, under one another on one time axis. Drag moves it, Ctrl and wheel or two fingers zoom, keys do both. */
export function HistoryPlots(props: HistoryPlotsProps) {
  const { stretch, strip, shown, window, bounds, plotPx, choose } = props;
  const plots = useRef<HTMLDivElement>(null);
  const held = useRef<{ readonly x: number; readonly window: TimeWindow } | undefined>(undefined);
  // The wheel must be kept from scrolling the page, which a listener set by an attribute cannot.
  const latest = useRef(props);
  latest.current = props;
  useEffect(() => {
    const { current } = plots;
    const wheel = (event: WheelEvent): void => {
      const now = latest.current;
      if (!event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      const share = (event.clientX - (current?.getBoundingClientRect().left ?? 0) - PLOT_LEFT_PX) / Math.max(1, now.plotPx);
      const aroundMs = now.window.fromMs + Math.min(Math.max(share, 0), 1) * widthOf(now.window);
      now.choose(zoom(now.window, event.deltaY < 0 ? 0.8 : 1.25, now.bounds, aroundMs));
    };
    current?.addEventListener('wheel', wheel, { passive: false });
    return () => current?.removeEventListener('wheel', wheel);
  }, []);
  const key = (event: KeyboardEvent): void => {
    const next = windowAfterKey(window, event.key, event.shiftKey, bounds);
    if (next === undefined) return;
    event.preventDefault();
    choose(next);
  };
  return (
    <div
      class="plots"
      ref={plots}
      tabIndex={0}
      role="group"
      aria-label="Charts of the history: arrows move, plus and minus zoom, Home shows all, End goes to now; the same as a table below"
      onKeyDown={key}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        plots.current?.setPointerCapture(event.pointerId);
        held.current = { x: event.clientX, window };
      }}
      onPointerMove={(event) => {
        if (held.current === undefined) return;
        const perPx = widthOf(held.current.window) / Math.max(1, plotPx);
        choose(movedBy(held.current.window, (held.current.x - event.clientX) * perPx, bounds));
      }}
      onPointerUp={() => (held.current = undefined)}
      onPointerCancel={() => (held.current = undefined)}
    >
      {strip && stretch.running !== null ? <RunningStrip parts={stretch.running} window={window} plotPx={plotPx} /> : null}
      {shown.map((quantity, index) => (
        <Plot key={quantity} {...props} quantity={quantity} labelled={index === shown.length - 1} />
      ))}
    </div>
  );
}

interface PlotProps extends HistoryPlotsProps {
  readonly quantity: Quantity;
  readonly labelled: boolean;
}

function Plot({ quantity, labelled, stretch, days, window, conveyor, takeup }: PlotProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<HistoryChart | undefined>(undefined);
  const [theme, system] = [themeShown.value, units.value];
  const { words, kind, decimals } = quantityWords(quantity);
  const levels = levelsOf(quantity, { conveyor, takeup });
  const hasChain = stretch.rows.some(({ values }) => values[quantity]?.chain !== undefined);
  const picture = useMemo(() => pictureOf(quantity, stretch, days, window, levels, system), [quantity, stretch, days, window, system]);
  const shown = useRef(picture);
  shown.current = picture;
  useEffect(() => {
    let wanted = true;
    void import('../charts/history-chart.js').then(({ createHistoryChart }) => {
      if (!wanted || canvas.current === null) return;
      const places = decimals + (system === 'imperial' && kind === 'travel' ? 2 : 0);
      chart.current = createHistoryChart(
        canvas.current,
        unitOf(kind, system),
        (value, step) => formatNumber(value, Math.max(places, decimalsOf(step))),
        labelled,
      );
      chart.current.show(shown.current);
    });
    return () => {
      wanted = false;
      chart.current?.destroy();
      chart.current = undefined;
    };
  }, [quantity, labelled, theme, system]);
  useEffect(() => chart.current?.show(picture), [picture]);
  return (
    <figure class={`plot plot-${quantity.split(' ')[0] ?? ''}`}>
      <figcaption>
        {words}, {unitOf(kind, system)}
        {hasChain ? ' (strong line: the chain, which follows late)' : ''}
      </figcaption>
      <div class="plot-canvas">
        <canvas ref={canvas} role="img" aria-label={`${words} over time; the same as a table below`} />
      </div>
    </figure>
  );
}

/** Decimals that tell neighbouring marks apart. */
function decimalsOf(step: number): number {
  return step >= 1 || step <= 0 ? 0 : Math.ceil(-Math.log10(step) - 1e-9);
}

/** What bears on a quantity, in the program's own units. */
function levelsOf(quantity: Quantity, { conveyor, takeup }: Place): readonly number[] {
  const given = (...levels: (number | undefined)[]): readonly number[] => levels.filter((level) => level !== undefined);
  switch (quantity) {
    case 'position':
      return [0, takeup.strokeMm];
    case 'spring':
      return [takeup.spring.solidMm, takeup.spring.solidMm + takeup.spring.clearanceMm, takeup.spring.freeMm];
    case 'tension':
      return given(conveyor.chain.minTensionN, conveyor.chain.maxTensionN);
    case 'heat':
      return [];
    default:
      return given(referenceOf(quantity, conveyor));
  }
}

/** The temperature at which the chain's length is counted from. */
function referenceOf(quantity: Quantity, { zones, ambient }: Place['conveyor']): number | undefined {
  const places = [...zones, ...(ambient === undefined ? [] : [ambient])];
  return places.find(({ temperature }) => quantity === `temperature ${temperature.name}`)?.referenceC;
}

const DAY_MS = 86_400_000;
/** A settled value stands for its whole day and is drawn at noon; two that lie further apart than this are not joined. */
const JOINED_DAYS_MS = 3.5 * DAY_MS;

function pictureOf(
  quantity: Quantity,
  stretch: HistoryStretch,
  days: readonly DayAnswer[],
  window: TimeWindow,
  levels: readonly number[],
  system: UnitSystem,
): HistoryPicture {
  const shown = (value: number): number => toShown(quantityWords(quantity).kind, value, system);
  const rows = rowsIn(stretch, window);
  // What is absent of a row was not asked for at its time, and breaks no line; what is NaN does.
  const line = (part: 'min' | 'max' | 'mean') =>
    rows.flatMap(({ timeMs, values }: HistoryRow) => {
      const value = values[quantity];
      return value === undefined ? [] : [{ x: timeMs + stretch.widthMs / 2, y: shown(value[part]) }];
    });
  const settled: { x: number; y: number }[] = [];
  for (const { timeMs, values } of quantity.startsWith('temperature ') ? rows : []) {
    const value = values[quantity];
    if (value !== undefined) settled.push({ x: timeMs + stretch.widthMs / 2, y: shown(value.chain ?? NaN) });
  }
  for (const day of days) {
    const value = settledOf(quantity, day);
    const x = Date.parse(day.date) + DAY_MS / 2;
    if (value === null || x < window.fromMs - DAY_MS || x > window.toMs + DAY_MS) continue;
    const before = settled.at(-1);
    if (before !== undefined && x - before.x > JOINED_DAYS_MS) settled.push({ x: before.x + 1, y: NaN });
    settled.push({ x, y: shown(value) });
  }
  const daily = !quantity.startsWith('temperature ');
  return { window, daily, low: line('min'), high: line('max'), mean: line('mean'), settled, levels: levels.map(shown) };
}

function settledOf(quantity: Quantity, day: DayAnswer): number | null {
  switch (quantity) {
    case 'position':
      return day.positionMm;
    case 'spring':
      return day.springLeftMm === null || day.springRightMm === null ? null : Math.min(day.springLeftMm, day.springRightMm);
    case 'tension':
      return day.strandTensionN;
    case 'heat':
      return day.thermalMm;
    default:
      return null;
  }
}
