/** The stretch of time that a chart shows; epoch ms, `fromMs` before `toMs`. */
export interface TimeWindow {
  readonly fromMs: number;
  readonly toMs: number;
}

/** The stretch that there is to be shown: from the first that is known to now. */
export type TimeBounds = TimeWindow;

/** Nobody needs to see less than two minutes over the width of a chart. */
export const LEAST_WIDTH_MS = 120_000;

/** A window whose end is at least this near to now, as a share of its width, follows the present. */
const AT_END = 0.01;

export function widthOf({ fromMs, toMs }: TimeWindow): number {
  return toMs - fromMs;
}

/** The window moved by a share of its width, later for a positive one, within the bounds. */
export function pan(window: TimeWindow, share: number, bounds: TimeBounds): TimeWindow {
  return movedBy(window, share * widthOf(window), bounds);
}

/** The window moved by ms, within the bounds. */
export function movedBy({ fromMs, toMs }: TimeWindow, ms: number, bounds: TimeBounds): TimeWindow {
  return fit({ fromMs: fromMs + ms, toMs: toMs + ms }, bounds);
}

/**
 * The window made wider or narrower around one instant, which stays where it is on the chart.
 *
 * @param factor - below 1 comes nearer, above 1 goes further off
 * @param aroundMs - default the middle
 */
export function zoom(window: TimeWindow, factor: number, bounds: TimeBounds, aroundMs = (window.fromMs + window.toMs) / 2): TimeWindow {
  const width = Math.min(Math.max(widthOf(window) * factor, LEAST_WIDTH_MS), Math.max(widthOf(bounds), LEAST_WIDTH_MS));
  const share = (aroundMs - window.fromMs) / widthOf(window);
  const fromMs = aroundMs - share * width;
  return fit({ fromMs, toMs: fromMs + width }, bounds);
}

/** A window of so many ms that ends now, or all there is where that is less. */
export function latest(widthMs: number, bounds: TimeBounds): TimeWindow {
  return fit({ fromMs: bounds.toMs - widthMs, toMs: bounds.toMs }, bounds);
}

/** A window typed or dragged, made to lie within the bounds and to be wide enough to show anything. */
export function fit({ fromMs, toMs }: TimeWindow, bounds: TimeBounds): TimeWindow {
  const width = Math.min(Math.max(toMs - fromMs, LEAST_WIDTH_MS), Math.max(widthOf(bounds), LEAST_WIDTH_MS));
  const from = Math.max(Math.min(fromMs, bounds.toMs - width), Math.min(bounds.fromMs, bounds.toMs - width));
  return { fromMs: from, toMs: from + width };
}

/** Whether the window ends at the present, and so goes with it. */
export function atLiveEnd(window: TimeWindow, bounds: TimeBounds): boolean {
  return bounds.toMs - window.toMs <= AT_END * widthOf(window);
}

const KEY_STEP = 0.1;
const KEY_ZOOM = 0.7;

/** What a key does to the window; undefined for a key that does nothing. `Home` shows everything, `End` goes to the present. */
export function windowAfterKey(window: TimeWindow, key: string, shift: boolean, bounds: TimeBounds): TimeWindow | undefined {
  const step = shift ? 1 : KEY_STEP;
  switch (key) {
    case 'ArrowLeft':
      return pan(window, -step, bounds);
    case 'ArrowRight':
      return pan(window, step, bounds);
    case '+':
    case '=':
      return zoom(window, KEY_ZOOM, bounds);
    case '-':
    case '_':
      return zoom(window, 1 / KEY_ZOOM, bounds);
    case 'Home':
      return bounds;
    case 'End':
      return latest(widthOf(window), bounds);
    default:
      return undefined;
  }
}
