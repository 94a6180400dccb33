import { PLOT_LEFT_PX } from '../parts/plot-sizes.js';

/** Gives a person a file that was made here. */
export function saveFile(name: string, content: Blob): void {
  const address = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken it by the next turn.
  setTimeout(() => URL.revokeObjectURL(address), 0);
}

const TITLE_PX = 34;
/** Room above a chart for what it is of. */
const CAPTION_PX = 20;
const CAPTION_FONT = '13px system-ui, sans-serif';
const FONT = '600 15px system-ui, sans-serif';

/**
 * Charts under one another as one picture, with a title above them, on the ground that they stand on.
 *
 * @returns undefined where the browser makes no picture of it
 */
export async function pictureOf(title: string, charts: readonly HTMLCanvasElement[]): Promise<Blob | undefined> {
  const [first] = charts;
  if (first === undefined) return undefined;
  const scale = first.width / Math.max(1, first.clientWidth);
  const head = TITLE_PX * scale;
  const sheet = document.createElement('canvas');
  sheet.width = Math.max(...charts.map(({ width }) => width));
  sheet.height = head + charts.reduce((sum, chart) => sum + chart.height + (captionOf(chart) === '' ? 0 : CAPTION_PX * scale), 0);
  const pen = sheet.getContext('2d');
  if (pen === null) return undefined;
  const style = getComputedStyle(first);
  pen.fillStyle = style.getPropertyValue('--sheet').trim();
  pen.fillRect(0, 0, sheet.width, sheet.height);
  pen.fillStyle = style.getPropertyValue('--ink').trim();
  pen.scale(scale, scale);
  pen.font = FONT;
  pen.fillText(title, 10, 22);
  pen.resetTransform();
  let top = head;
  for (const chart of charts) {
    const caption = captionOf(chart);
    if (caption !== '') {
      pen.scale(scale, scale);
      pen.font = CAPTION_FONT;
      pen.fillText(caption, PLOT_LEFT_PX, top / scale + 14);
      pen.resetTransform();
      top += CAPTION_PX * scale;
    }
    pen.drawImage(chart, 0, top);
    top += chart.height;
  }
  return new Promise((resolve) => sheet.toBlob((blob) => resolve(blob ?? undefined), 'image/png'));
}

/** What stands above a chart on the page; empty where nothing does. */
function captionOf(chart: HTMLCanvasElement): string {
  return chart.closest('figure')?.querySelector('figcaption')?.textContent.trim() ?? '';
}
