import { Chart, LinearScale, LineController, LineElement, PointElement, Tooltip, type ChartConfiguration } from 'chart.js';
import { dateOfDayNumber, dayNumberOf } from '../../../agent/units/local-day.js';
import { formatNumber } from '../../../agent/units/display.js';
import type { DayAnswer } from '../../server/logic/answers.js';

Chart.register(LinearScale, LineController, LineElement, PointElement, Tooltip);

/** A day's place on the chart. */
interface DayPoint {
  readonly x: number;
  readonly y: number;
}

/**
 * Draws daily elongation, the days that are provisional or only a bound as hollow points, and the wear limit where it
 * is near enough to be on the scale.
 *
 * @param canvas - takes the colours of the page from its style
 */
export function drawElongation(canvas: HTMLCanvasElement, days: readonly DayAnswer[], wearLimitPct: number): { destroy: () => void } {
  const colour = (name: string): string => getComputedStyle(canvas).getPropertyValue(name).trim();
  const points = days.flatMap(({ date, elongationPct, flag }) =>
    elongationPct === null ? [] : [{ x: dayNumberOf(date), y: elongationPct, sure: flag === 'value' }],
  );
  const [ink, faint, grid] = [colour('--ink'), colour('--ink-2'), colour('--line')];
  const limit = nearLimit(points, wearLimitPct);
  const configuration: ChartConfiguration<'line', DayPoint[]> = {
    type: 'line',
    data: {
      datasets: [
        {
          label: 'Elongation',
          data: points,
          borderColor: ink,
          borderWidth: 1.5,
          pointRadius: points.length > 120 ? 1.5 : 3,
          pointBackgroundColor: points.map(({ sure }) => (sure ? ink : 'transparent')),
          pointBorderColor: ink,
          // A day without a settled window is a gap, not a straight line.
          segment: { borderColor: ({ p0, p1 }) => ((p1.parsed.x ?? 0) - (p0.parsed.x ?? 0) > 1 ? 'transparent' : undefined) },
        },
        ...(limit === undefined
          ? []
          : [{ label: 'Wear limit', data: limit, borderColor: faint, borderDash: [6, 4], borderWidth: 1, pointRadius: 0 }]),
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
          grid: { color: grid },
          ticks: { color: faint, maxRotation: 0, precision: 0, callback: (value) => dateOfDayNumber(Number(value)) },
        },
        y: {
          grid: { color: grid },
          title: { display: true, text: '%', color: faint },
          ticks: { color: faint, callback: (value) => formatNumber(Number(value), 3) },
        },
      },
      plugins: {
        tooltip: {
          callbacks: {
            title: ([item]) => (item === undefined ? '' : dateOfDayNumber(item.parsed.x ?? 0)),
            label: ({ dataset, parsed }) => `${dataset.label ?? ''} ${formatNumber(parsed.y ?? 0, 4)} %`,
          },
        },
      },
    },
  };
  return new Chart(canvas, configuration);
}

/** The wear limit as a line, where the chain has come half of the way to it. */
function nearLimit(points: readonly DayPoint[], wearLimitPct: number): DayPoint[] | undefined {
  const [first, last] = [points[0], points.at(-1)];
  if (first === undefined || last === undefined || last.y < wearLimitPct / 2) return undefined;
  return [first, last].map(({ x }) => ({ x, y: wearLimitPct }));
}
