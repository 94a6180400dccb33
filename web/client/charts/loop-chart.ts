import { Chart, Legend, LinearScale, LineController, LineElement, PointElement, Tooltip, type ChartConfiguration } from 'chart.js';
import { formatNumber, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import type { LoopSeries } from '../logic/loop-series.js';

Chart.register(Legend, LinearScale, LineController, LineElement, PointElement, Tooltip);

/** Lines are told apart by their dashes and width, not by colour: that is kept for what is abnormal. */
const STROKES: Readonly<Record<LoopSeries['key'], { readonly dash: number[]; readonly width: number }>> = {
  loaded: { dash: [], width: 2.5 },
  empty: { dash: [], width: 1 },
  worst: { dash: [8, 4], width: 2 },
  backwards: { dash: [2, 4], width: 2.5 },
  'backwards-empty': { dash: [2, 4], width: 1 },
};

interface LoopChart {
  readonly series: readonly LoopSeries[];
  /** Least tension asked of the chain, in the units shown; undefined where none is. */
  readonly least: number | undefined;
  readonly system: UnitSystem;
}

/**
 * Draws the tension of the chain over the developed length from the take-up.
 *
 * @param canvas - takes the colours of the page from its style
 */
export function drawLoop(canvas: HTMLCanvasElement, { series, least, system }: LoopChart): { destroy: () => void } {
  const colour = (name: string): string => getComputedStyle(canvas).getPropertyValue(name).trim();
  const [ink, faint, grid] = [colour('--ink'), colour('--ink-2'), colour('--line')];
  const end = Math.max(0, ...series.flatMap(({ points }) => points.map(({ x }) => x)));
  const leastLine = least === undefined ? [] : [{ label: 'Least tension asked', points: [0, end].map((x) => ({ x, y: least })) }];
  const configuration: ChartConfiguration<'line', { x: number; y: number }[]> = {
    type: 'line',
    data: {
      datasets: [
        ...series.map(({ key, label, points }) => ({
          label,
          data: [...points],
          borderColor: ink,
          borderWidth: STROKES[key].width,
          borderDash: STROKES[key].dash,
          pointRadius: 2.5,
          pointBackgroundColor: ink,
        })),
        ...leastLine.map(({ label, points }) => ({
          label,
          data: points,
          borderColor: faint,
          borderWidth: 1,
          borderDash: [1, 3],
          pointRadius: 0,
        })),
      ],
    },
    options: {
      locale: 'en-GB',
      animation: false,
      maintainAspectRatio: false,
      parsing: false,
      interaction: { mode: 'nearest', axis: 'x', intersect: false },
      scales: {
        x: {
          type: 'linear',
          min: 0,
          max: end,
          grid: { color: grid },
          title: { display: true, text: `along the chain from the take-up, ${unitOf('chain-length', system)}`, color: faint },
          ticks: { color: faint, maxRotation: 0, callback: (value) => formatNumber(Number(value), 0) },
        },
        y: {
          grid: { color: grid },
          title: { display: true, text: `tension, ${unitOf('force', system)}`, color: faint },
          ticks: { color: faint, callback: (value) => formatNumber(Number(value), 0) },
        },
      },
      plugins: {
        legend: { labels: { color: ink, usePointStyle: false, boxHeight: 0 } },
        tooltip: {
          callbacks: {
            title: ([item]) => (item === undefined ? '' : `${formatNumber(item.parsed.x ?? 0, 1)} ${unitOf('chain-length', system)}`),
            label: ({ dataset, parsed }) => `${dataset.label ?? ''} ${formatNumber(parsed.y ?? 0, 0)} ${unitOf('force', system)}`,
          },
        },
      },
    },
  };
  return new Chart(canvas, configuration);
}
