import { Chart, type ChartDataset } from 'chart.js';
import type { TimeWindow } from '../logic/time-window.js';
import { PLAIN, coloursOf, timeScale, valueScale, type ChartColours, type ChartPoint } from './chart-parts.js';

/** One chart of the history: a quantity over the window. Values in the unit shown; NaN breaks a line. */
export interface HistoryPicture {
  readonly window: TimeWindow;
  readonly low: readonly ChartPoint[];
  readonly high: readonly ChartPoint[];
  readonly mean: readonly ChartPoint[];
  /** The strong line has a dot a day, where there are few. */
  readonly daily: boolean;
  /** A value a day, of settled windows alone; of a temperature, how warm the chain was. */
  readonly settled: readonly ChartPoint[];
  /** Levels that bear on it, such as the outer stop; drawn where the chart's own values reach near them. */
  readonly levels: readonly number[];
}

/** A chart that is drawn anew with another picture. */
export interface HistoryChart {
  show(picture: HistoryPicture): void;
  destroy(): void;
}

type Line = ChartDataset<'line', ChartPoint[]>;

/** @param labelled - the lowest of several charts has the times under it */
export function createHistoryChart(
  canvas: HTMLCanvasElement,
  unit: string,
  show: (value: number, step: number) => string,
  labelled: boolean,
): HistoryChart {
  const colours = coloursOf(canvas);
  const chart = new Chart<'line', ChartPoint[]>(canvas, {
    type: 'line',
    data: { datasets: [] },
    options: {
      ...PLAIN,
      events: [],
      scales: { x: { ...timeScale(colours, labelled) }, y: valueScale(colours, unit, show) },
    },
  });
  return {
    show: (picture) => {
      chart.data.datasets = linesOf(picture, colours);
      const x = chart.options.scales?.['x'];
      if (x !== undefined) Object.assign(x, { min: picture.window.fromMs, max: picture.window.toMs });
      const y = chart.options.scales?.['y'];
      const empty = [picture.low, picture.mean, picture.settled].every((points) => points.length === 0);
      // A scale of nothing, rather than one whose steps are too fine for its labels.
      if (y !== undefined) Object.assign(y, empty ? { min: 0, max: 10 } : { min: undefined, max: undefined });
      chart.update('none');
    },
    destroy: () => chart.destroy(),
  };
}

function linesOf(picture: HistoryPicture, { ink, faint, band }: ChartColours): Line[] {
  const thin = { borderWidth: 0, pointRadius: 0, spanGaps: false };
  const settled = {
    borderColor: ink,
    borderWidth: 2.25,
    pointRadius: picture.daily && picture.settled.length < 40 ? 2.5 : 0,
    pointBackgroundColor: ink,
  };
  return [
    { ...thin, data: [...picture.low] },
    { ...thin, data: [...picture.high], fill: '-1', backgroundColor: band },
    { data: [...picture.mean], borderColor: faint, borderWidth: 1.25, pointRadius: 0, spanGaps: false },
    { ...settled, data: [...picture.settled], spanGaps: false },
    ...levelLines(picture, ink),
  ];
}

/** A level that lies within a quarter of the height of what is drawn, above or below it. */
function levelLines({ low, high, window, levels }: HistoryPicture, ink: string): readonly Line[] {
  let [least, most] = [Infinity, -Infinity];
  for (const { y } of low) if (y < least) least = y;
  for (const { y } of high) if (y > most) most = y;
  if (!(most >= least)) return [];
  const reach = Math.max((most - least) / 4, 1e-9);
  return levels
    .filter((level) => level >= least - reach && level <= most + reach)
    .map((y) => ({
      data: [window.fromMs, window.toMs].map((x) => ({ x, y })),
      borderColor: ink,
      borderWidth: 1.25,
      borderDash: [2, 3],
      pointRadius: 0,
    }));
}
