import type { DisplayKind } from '../../../agent/units/display.js';
import type { HistoryStretch, Quantity, RunningPart } from './history-series.js';
import type { TimeWindow } from './time-window.js';

/** How a quantity is called, shown and rounded. */
export interface QuantityWords {
  readonly words: string;
  /** Where there is room for a word or two. */
  readonly short: string;
  readonly kind: DisplayKind;
  readonly decimals: number;
}

const OWN: Readonly<Partial<Record<Quantity, QuantityWords>>> = {
  position: { words: 'Position from the inner stop', short: 'Position', kind: 'travel', decimals: 0 },
  spring: { words: 'Length of the shorter spring', short: 'Springs', kind: 'travel', decimals: 0 },
  tension: { words: 'Strand tension', short: 'Tension', kind: 'force', decimals: 0 },
  heat: { words: 'Chain longer by heat, settled', short: 'Heat', kind: 'travel', decimals: 0 },
};

export function quantityWords(quantity: Quantity): QuantityWords {
  const own = OWN[quantity];
  if (own !== undefined) return own;
  // A temperature's signal is called <conveyor>/<zone>/temperature.
  const zone = quantity.split('/').at(-2) ?? quantity;
  const words = `Temperature, ${zone}`;
  return { words, short: words, kind: 'temperature', decimals: 0 };
}

/** What the points of a picture are, and why they are no finer where a person could see finer ones. */
export function sourceWords({ source, coarse, widthMs }: HistoryStretch): string {
  const point = `A point stands for ${widthWords(widthMs)}`;
  switch (coarse) {
    case 'readings-gone':
      return `${point}: ${source === 'hours' ? 'minutes' : 'single readings'} of this time are no longer kept.`;
    case 'too-many-readings':
      return `${point}: come nearer to see single readings.`;
    case 'other-settings':
      return `${point}: the site file reads its sensors otherwise now, so older readings are not drawn one by one.`;
    default:
      return source === 'readings' ? `${point}, from the readings themselves.` : `${point}, its furthest in and out kept.`;
  }
}

export function widthWords(ms: number): string {
  const [minutes, hours] = [ms / 60_000, ms / 3_600_000];
  if (ms < 1000) return `${ms} ms`;
  if (minutes < 1) return `${Math.round(ms / 1000)} s`;
  if (hours < 1) return `${minutes} min`;
  return hours < 24 || hours % 24 !== 0 ? `${hours} h` : `${hours / 24} ${hours === 24 ? 'day' : 'days'}`;
}

/** Shares of the time of a window in which a conveyor ran and stood, 0…1. */
function sharesIn(parts: readonly RunningPart[], { fromMs, toMs }: TimeWindow): { readonly ran: number; readonly stood: number } {
  let [ran, stood] = [0, 0];
  for (const part of parts) {
    const within = Math.min(part.toMs, toMs) - Math.max(part.fromMs, fromMs);
    if (within <= 0) continue;
    ran += part.ran * within;
    stood += part.stood * within;
  }
  const all = Math.max(1, toMs - fromMs);
  return { ran: ran / all, stood: stood / all };
}

/** What the strip shows, for whoever does not see it. */
export function runningSummary(parts: readonly RunningPart[], window: TimeWindow): string {
  const { ran, stood } = sharesIn(parts, window);
  const percent = (share: number): string => `${(100 * share).toFixed(share > 0 && share < 0.1 ? 1 : 0)} %`;
  return `Of the time shown it ran ${percent(ran)}, stood ${percent(stood)}; not known ${percent(Math.max(0, 1 - ran - stood))}`;
}

/** Above this share of a stretch all of it counts. */
const WHOLE = 0.995;

/** One stretch in a word or two, for a cell of a table. */
export function runningWord(part: RunningPart | undefined): string {
  if (part === undefined || part.ran + part.stood <= 0) return 'not known';
  if (part.ran >= WHOLE) return 'running';
  if (part.stood >= WHOLE) return 'stopped';
  if (part.ran === 0) return 'stopped, in part not known';
  return `ran ${(100 * part.ran).toFixed(0)} %`;
}
