import type { RunningPart } from '../logic/history-series.js';
import type { TimeWindow } from '../logic/time-window.js';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../parts/plot-sizes.js';

const HEIGHT_PX = 26;
const [TOP_PX, BAR_PX] = [5, 16];
/** However short a stop or a start, this much of the bar's height tells it. */
const LEAST_NOTCH = 0.2;
const HATCH_EVERY_PX = 5;

interface Strip {
  readonly parts: readonly RunningPart[];
  readonly window: TimeWindow;
  readonly plotPx: number;
}

/** Draws when a conveyor ran: filled while it ran, an empty bar while it stood, hatched where it is not known. */
export function drawRunningStrip(canvas: HTMLCanvasElement, { parts, window, plotPx }: Strip): void {
  const pen = canvas.getContext('2d');
  if (pen === null || plotPx <= 0) return;
  const scale = devicePixelRatio;
  canvas.width = Math.round((PLOT_LEFT_PX + plotPx + PLOT_RIGHT_PX) * scale);
  canvas.height = HEIGHT_PX * scale;
  canvas.style.width = `${String(PLOT_LEFT_PX + plotPx + PLOT_RIGHT_PX)}px`;
  canvas.style.height = `${String(HEIGHT_PX)}px`;
  const style = getComputedStyle(canvas);
  const colour = (name: string): string => style.getPropertyValue(name).trim();
  pen.setTransform(scale, 0, 0, scale, 0, 0);
  pen.clearRect(0, 0, PLOT_LEFT_PX + plotPx + PLOT_RIGHT_PX, HEIGHT_PX);
  hatch(pen, plotPx, colour('--hatch'));
  const xOf = (timeMs: number): number => {
    const share = (timeMs - window.fromMs) / (window.toMs - window.fromMs);
    return PLOT_LEFT_PX + Math.min(Math.max(share, 0), 1) * plotPx;
  };
  // By whole dots of the screen, so that neighbours leave no seam.
  const dotOf = (timeMs: number): number => Math.round(xOf(timeMs) * scale) / scale;
  for (const part of parts) {
    if (part.ran + part.stood <= 0 || part.toMs <= window.fromMs || part.fromMs >= window.toMs) continue;
    const from = dotOf(part.fromMs);
    // However short, a stop in what ran is one dot wide.
    const width = Math.max(dotOf(part.toMs) - from, 1 / scale);
    pen.fillStyle = colour('--sheet');
    pen.fillRect(from, TOP_PX, width, BAR_PX);
    const height = BAR_PX * shownShare(part);
    pen.fillStyle = colour('--mark');
    pen.fillRect(from, TOP_PX + BAR_PX - height, width, height);
  }
  pen.strokeStyle = colour('--mark');
  pen.strokeRect(PLOT_LEFT_PX, TOP_PX, plotPx, BAR_PX);
}

function shownShare({ ran, stood }: RunningPart): number {
  const share = ran / (ran + stood);
  if (share <= 0 || share >= 1) return share;
  return Math.min(Math.max(share, LEAST_NOTCH), 1 - LEAST_NOTCH);
}

function hatch(pen: CanvasRenderingContext2D, plotPx: number, colour: string): void {
  pen.save();
  pen.beginPath();
  pen.rect(PLOT_LEFT_PX, TOP_PX, plotPx, BAR_PX);
  pen.clip();
  pen.beginPath();
  for (let x = PLOT_LEFT_PX - BAR_PX; x < PLOT_LEFT_PX + plotPx; x += HATCH_EVERY_PX) {
    pen.moveTo(x, TOP_PX + BAR_PX);
    pen.lineTo(x + BAR_PX, TOP_PX);
  }
  pen.strokeStyle = colour;
  pen.stroke();
  pen.restore();
}
