import {
  BarController,
  BarElement,
  CategoryScale,
  Chart,
  LinearScale,
  LineController,
  LineElement,
  PointElement,
  Tooltip,
  type ChartConfiguration,
} from 'chart.js';
import { coloursOf } from './chart-parts.js';

Chart.register(BarController, BarElement, CategoryScale, LinearScale, LineController, LineElement, PointElement, Tooltip);

/** A stretch of time on the chart. */
export interface AlarmBar {
  readonly name: string;
  readonly alarms: number;
  readonly standing: number;
}

/** What is drawn on it. */
interface Marks {
  /** Drawn across where it is near enough to be on the scale. */
  readonly limit?: number;
}

/**
 * Draws how many alarms came in each stretch of time, as bars, and how many stood at its end, as a line of steps.
 *
 * @param canvas - takes the colours of the page from its style
 */
export function drawAlarms(canvas: HTMLCanvasElement, bars: readonly AlarmBar[], { limit }: Marks = {}): { destroy: () => void } {
  const { ink, faint, grid, band } = coloursOf(canvas);
  const most = Math.max(0, ...bars.map(({ alarms }) => alarms));
  const line = { type: 'line' as const, pointRadius: 0, pointHitRadius: 8, borderWidth: 1.5 };
  // One stretch gives a line no second end.
  const alone = bars.length === 1 ? { pointRadius: 3, pointBackgroundColor: ink } : {};
  const configuration: ChartConfiguration<'bar' | 'line', number[], string[]> = {
    type: 'bar',
    data: {
      // A day and its hours below one another: a phone has no room for them beside one another.
      labels: bars.map(({ name }) => name.split(' ')),
      datasets: [
        {
          ...line,
          label: 'Standing at the end',
          data: bars.map(({ standing }) => standing),
          borderColor: ink,
          stepped: 'middle',
          ...alone,
        },
        { type: 'bar', label: 'Alarms', data: bars.map(({ alarms }) => alarms), backgroundColor: band, maxBarThickness: 28 },
        ...(limit === undefined || most < limit / 2
          ? []
          : [{ ...line, label: 'More than anybody can look at', data: bars.map(() => limit), borderColor: faint, borderDash: [6, 4] }]),
      ],
    },
    options: {
      locale: 'en-GB',
      animation: false,
      maintainAspectRatio: false,
      interaction: { mode: 'index', intersect: false },
      plugins: { tooltip: { callbacks: { title: ([first]) => (first === undefined ? '' : (bars[first.dataIndex]?.name ?? '')) } } },
      scales: {
        x: { grid: { display: false }, ticks: { color: faint, maxRotation: 0, autoSkipPadding: 12 } },
        y: { beginAtZero: true, suggestedMax: 5, grid: { color: grid }, ticks: { color: faint, precision: 0 } },
      },
    },
  };
  return new Chart(canvas, configuration);
}
