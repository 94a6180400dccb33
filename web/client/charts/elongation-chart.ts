import { Chart, type ChartConfiguration, type ChartDataset } from 'chart.js';
import { formatNumber } from '../../../agent/units/display.js';
import type { TimeWindow } from '../logic/time-window.js';
import { PLAIN, coloursOf, timeScale, valueScale, type ChartColours, type ChartPoint } from './chart-parts.js';

/** A day's elongation; `sure` false where it is provisional or only a bound. */
export interface ElongationPoint extends ChartPoint {
  readonly sure: boolean;
}

/** What the chart of elongation shows. */
export interface ElongationPicture {
  readonly window: TimeWindow;
  readonly points: readonly ElongationPoint[];
  /** Middle, low and high of the forecast, each from the last value on. */
  readonly fan?: Readonly<Record<'middle' | 'low' | 'high', readonly ChartPoint[]>>;
  /** The wear limit, drawn where it lies within what is shown. */
  readonly limitPct: number;
  /** Where the chain or its springs were changed. */
  readonly cuts: readonly number[];
}

/** Days are joined over a weekend, when a conveyor stands; more without a value is a gap. */
const JOINED_MS = 3.5 * 86_400_000;

type Line = ChartDataset<'line', ChartPoint[]>;

/**
 * Draws daily elongation with its forecast as a fan, the days that are provisional or only a bound as hollow points, and the wear limit
 * where it is near enough to be on the scale.
 *
 * @param canvas - takes the colours of the page from its style
 */
export function drawElongation(canvas: HTMLCanvasElement, picture: ElongationPicture): { destroy: () => void } {
  const colours = coloursOf(canvas);
  const lines = [
    ...fanLines(picture, colours),
    daysLine(picture, colours),
    ...limitLine(picture, colours),
    ...picture.cuts.map((x) => cut(x, picture, colours)),
  ];
  const configuration: ChartConfiguration<'line', ChartPoint[]> = {
    type: 'line',
    data: { datasets: lines },
    options: {
      ...PLAIN,
      events: [],
      scales: {
        x: { ...timeScale(colours, true), min: picture.window.fromMs, max: picture.window.toMs },
        y: valueScale(colours, '%', (value) => formatNumber(value, 3)),
      },
    },
  };
  return new Chart(canvas, configuration);
}

function daysLine({ points }: ElongationPicture, { ink }: ChartColours): Line {
  const unsure = points.some(({ sure }) => !sure);
  return {
    data: points.map(({ x, y }) => ({ x, y })),
    borderColor: ink,
    borderWidth: 1.75,
    pointRadius: unsure || points.length < 60 ? points.map(({ sure }) => (sure ? (points.length < 60 ? 2 : 0) : 3)) : 0,
    pointBackgroundColor: points.map(({ sure }) => (sure ? ink : 'transparent')),
    pointBorderColor: ink,
    segment: { borderColor: ({ p0, p1 }) => ((p1.parsed.x ?? 0) - (p0.parsed.x ?? 0) > JOINED_MS ? 'transparent' : undefined) },
  };
}

function fanLines({ fan }: ElongationPicture, { ink, faint, band }: ChartColours): readonly Line[] {
  if (fan === undefined) return [];
  const edge = { borderColor: faint, borderWidth: 1, pointRadius: 0 };
  return [
    { ...edge, data: [...fan.low] },
    { ...edge, data: [...fan.high], fill: '-1', backgroundColor: `${band}66` },
    { data: [...fan.middle], borderColor: ink, borderWidth: 1.75, borderDash: [6, 4], pointRadius: 0 },
  ];
}

/** The limit is drawn where what is shown reaches near it: further off it would flatten everything else. */
function limitLine({ points, fan, window, limitPct }: ElongationPicture, { ink }: ChartColours): readonly Line[] {
  const all = [...points, ...(fan?.middle ?? [])].map(({ y }) => y);
  const [lowest, highest] = [Math.min(...all), Math.max(...all)];
  if (limitPct - highest > highest - lowest) return [];
  const data = [window.fromMs, window.toMs].map((x) => ({ x, y: limitPct }));
  return [{ data, borderColor: ink, borderDash: [2, 3], borderWidth: 1.5, pointRadius: 0 }];
}

/** A thin upright line over the height of what is drawn. */
function cut(x: number, { points, fan }: ElongationPicture, { faint }: ChartColours): Line {
  const all = [...points, ...(fan?.middle ?? [])].map(({ y }) => y);
  return {
    data: [Math.min(...all), Math.max(...all)].map((y) => ({ x, y })),
    borderColor: faint,
    borderWidth: 1,
    borderDash: [1, 3],
    pointRadius: 0,
  };
}
