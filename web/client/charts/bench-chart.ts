import { Chart, type ChartDataset, type Plugin } from 'chart.js';
import type { BenchTraces, TraceColumns } from '../../../agent/contract/bench.js';
import { PLAIN, coloursOf, timeScale, valueScale, type ChartPoint } from './chart-parts.js';

/** How a trace is drawn. Which is which is said by weight and dash, since colour is kept for what is abnormal. */
export interface BenchLine {
  readonly label: string;
  readonly columns: TraceColumns;
  readonly style: 'faint' | 'thin' | 'bold' | 'points';
  /** Of the second setting. */
  readonly second: boolean;
}

export interface BenchPicture {
  readonly fromMs: number;
  readonly toMs: number;
  readonly lines: readonly { readonly line: BenchLine; readonly axis: Pick<BenchTraces, 'fromMs' | 'stepMs'> }[];
  /** Instants at which something was told. */
  readonly marks: readonly number[];
}

export interface BenchChart {
  show(picture: BenchPicture): void;
  /** Moves the instant that is looked at. */
  point(atMs: number): void;
  destroy(): void;
}

const WIDTHS: Readonly<Record<BenchLine['style'], number>> = { faint: 1, thin: 1, bold: 2.25, points: 0 };

export function createBenchChart(canvas: HTMLCanvasElement, unit: string, show: (value: number) => string, labelled: boolean): BenchChart {
  const colours = coloursOf(canvas);
  let atMs = NaN;
  let marks: readonly number[] = [];
  const instants: Plugin<'line'> = {
    id: 'instants',
    afterDatasetsDraw: ({ ctx, chartArea: { top, bottom, left, right }, scales }) => {
      const { x } = scales;
      if (x === undefined) return;
      const line = (timeMs: number, to: number, width: number): void => {
        const at = x.getPixelForValue(timeMs);
        if (!(at >= left && at <= right)) return;
        ctx.lineWidth = width;
        ctx.beginPath();
        ctx.moveTo(at, top);
        ctx.lineTo(at, to);
        ctx.stroke();
      };
      ctx.save();
      ctx.strokeStyle = colours.ink;
      for (const mark of marks) line(mark, top + 10, 2);
      line(atMs, bottom, 1);
      ctx.restore();
    },
  };
  const chart = new Chart<'line', ChartPoint[]>(canvas, {
    type: 'line',
    data: { datasets: [] },
    options: { ...PLAIN, events: [], scales: { x: { ...timeScale(colours, labelled) }, y: valueScale(colours, unit, show) } },
    plugins: [instants],
  });
  return {
    show: (picture) => {
      marks = picture.marks;
      chart.data.datasets = picture.lines.map(({ line, axis }) => dataset(line, axis, colours));
      const x = chart.options.scales?.['x'];
      if (x !== undefined) Object.assign(x, { min: picture.fromMs, max: picture.toMs });
      chart.update('none');
    },
    point: (timeMs) => {
      atMs = timeMs;
      chart.draw();
    },
    destroy: () => chart.destroy(),
  };
}

function dataset(
  { label, columns, style, second }: BenchLine,
  axis: Pick<BenchTraces, 'fromMs' | 'stepMs'>,
  { ink, faint, band }: ReturnType<typeof coloursOf>,
): ChartDataset<'line', ChartPoint[]> {
  const colour = style === 'faint' ? band : style === 'thin' ? faint : ink;
  return {
    label,
    data: pointsOf(columns, axis, style === 'points'),
    borderColor: colour,
    borderWidth: WIDTHS[style],
    ...(second ? { borderDash: [5, 3] } : {}),
    pointRadius: style === 'points' ? 2.5 : 0,
    pointBackgroundColor: second ? 'transparent' : colour,
    pointBorderColor: colour,
    spanGaps: false,
  };
}

/**
 * Each column as its least and its most; one empty column is bridged, since readings come no oftener, more are a gap.
 * @param scattered - a value stands for itself, and is joined with no other
 */
function pointsOf(
  { min, max }: TraceColumns,
  { fromMs, stepMs }: Pick<BenchTraces, 'fromMs' | 'stepMs'>,
  scattered: boolean,
): ChartPoint[] {
  const points: ChartPoint[] = [];
  const usual = usualGap(min);
  let empty = 0;
  min.forEach((least, index) => {
    const most = max[index];
    if (least === null || most === null || most === undefined) {
      empty++;
      return;
    }
    const x = fromMs + (index + 0.5) * stepMs;
    if (!scattered && empty > 3 * usual + 1 && points.length > 0) points.push({ x: x - stepMs, y: NaN });
    empty = 0;
    points.push({ x, y: least });
    if (most !== least) points.push({ x, y: most });
  });
  return points;
}

/** How many columns usually lie empty between two readings. */
function usualGap(min: readonly (number | null)[]): number {
  const filled = min.filter((value) => value !== null).length;
  return filled === 0 ? 0 : Math.round(min.length / filled) - 1;
}
