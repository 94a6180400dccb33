import { Chart, Filler, LinearScale, LineController, LineElement, PointElement } from 'chart.js';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../parts/plot-sizes.js';
import { site } from '../state/session.js';
import { timeTicks } from '../logic/time-ticks.js';

Chart.register(LinearScale, LineController, LineElement, PointElement, Filler);

/** A place on a chart. `x` is epoch ms. */
export interface ChartPoint {
  readonly x: number;
  readonly y: number;
}

/** The colours of the page, as its styles have them now. */
export interface ChartColours {
  readonly ink: string;
  readonly faint: string;
  readonly grid: string;
  readonly band: string;
  readonly fan: string;
}

export function coloursOf(canvas: HTMLCanvasElement): ChartColours {
  const style = getComputedStyle(canvas);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  return { ink: colour('--ink'), faint: colour('--ink-2'), grid: colour('--line'), band: colour('--band'), fan: colour('--rail') };
}

/** What the charts share: no movement, no parsing, lines without points. */
export const PLAIN = {
  locale: 'en-GB',
  animation: false,
  maintainAspectRatio: false,
  responsive: true,
  parsing: false,
  normalized: true,
  events: [],
  layout: { padding: { top: 6, right: PLOT_RIGHT_PX, bottom: 0, left: 0 } },
} as const;

const TICK_EVERY_PX = 90;
/** On a phone, where labels stand nearer one another: one alone tells no time. */
const NARROW_TICK_EVERY_PX = 60;
const NARROW_PX = 400;

/** The time axis, on the site's clock. @param labelled - the lowest of several charts alone has words */
export function timeScale({ faint, grid }: ChartColours, labelled: boolean) {
  const labels = new Map<number, string>();
  return {
    type: 'linear' as const,
    grid: { color: grid },
    ticks: {
      color: faint,
      display: labelled,
      maxRotation: 0,
      autoSkip: false,
      callback: (value: number | string) => labels.get(Number(value)) ?? '',
    },
    afterBuildTicks: (axis: { min: number; max: number; width: number; ticks: { value: number }[] }) => {
      const most = Math.max(2, Math.floor(axis.width / (axis.width < NARROW_PX ? NARROW_TICK_EVERY_PX : TICK_EVERY_PX)));
      const ticks = timeTicks({ fromMs: axis.min, toMs: axis.max }, most, site.value?.timezone ?? 'UTC');
      labels.clear();
      for (const { timeMs, label } of ticks) labels.set(timeMs, label);
      axis.ticks = ticks.map(({ timeMs }) => ({ value: timeMs }));
    },
  };
}

/** The axis of the values, as wide on every chart. */
export function valueScale({ faint, grid }: ChartColours, unit: string, show: (value: number, stepSize: number) => string) {
  return {
    type: 'linear' as const,
    grace: '8%' as const,
    grid: { color: grid },
    title: { display: true, text: unit, color: faint, padding: 0 },
    ticks: {
      color: faint,
      maxTicksLimit: 6,
      callback: (value: number | string, _index: number, all: readonly { value: number }[]) => show(Number(value), stepOf(all)),
    },
    afterFit: (axis: { width: number }) => {
      axis.width = PLOT_LEFT_PX;
    },
  };
}

/** How far apart the marks of an axis are. */
function stepOf([first, second]: readonly { readonly value: number }[]): number {
  return first === undefined || second === undefined ? 1 : Math.abs(second.value - first.value);
}
