import { useId } from 'preact/hooks';
import { fromField, toField } from '../logic/site-clock.js';
import { fit, latest, pan, widthOf, zoom, type TimeBounds, type TimeWindow } from '../logic/time-window.js';
import { site } from '../state/session.js';
import { ClockInput } from './clock-input.js';

interface WindowToolsProps {
  readonly window: TimeWindow;
  readonly bounds: TimeBounds;
  readonly follows: boolean;
  readonly choose: (window: TimeWindow) => void;
}

const HOUR_MS = 3_600_000;
const SPANS: readonly (readonly [words: string, ms: number])[] = [
  ['10 min', HOUR_MS / 6],
  ['Hour', HOUR_MS],
  ['Day', 24 * HOUR_MS],
  ['Week', 168 * HOUR_MS],
  ['Month', 720 * HOUR_MS],
  ['Year', 8766 * HOUR_MS],
  ['All', Infinity],
];
const ENDS = [
  ['fromMs', 'From'],
  ['toMs', 'to'],
] as const;
/** Two spans are the same to the eye where they differ by less. */
const NEAR = 0.02;

/** Which time is shown: by a click, by typing, by a step. */
export function WindowTools({ window, bounds, follows, choose }: WindowToolsProps) {
  const id = useId();
  const timezone = site.value?.timezone ?? 'UTC';
  const pick = (ms: number): void => choose(Number.isFinite(ms) ? latest(ms, bounds) : bounds);
  const typed = (end: 'fromMs' | 'toMs', text: string): void => {
    const timeMs = fromField(text, timezone);
    if (timeMs === undefined) return;
    const next = { ...window, [end]: timeMs };
    if (next.toMs > next.fromMs) choose(fit(next, bounds));
  };
  // Where there is less history than a week, a week shows all of it as well: one is said to be shown.
  const shown = follows ? SPANS.findIndex(([, ms]) => isShown(ms, window, bounds)) : -1;
  return (
    <div class="window-tools" role="group" aria-label="Which time is shown">
      <span class="spans">
        {SPANS.map(([words, ms], index) => (
          <button key={words} type="button" aria-pressed={index === shown} onClick={() => pick(ms)}>
            {words}
          </button>
        ))}
      </span>
      <span class="steps">
        <button type="button" aria-label="Earlier" onClick={() => choose(pan(window, -0.5, bounds))}>
          ◂
        </button>
        <button type="button" aria-label="Later" onClick={() => choose(pan(window, 0.5, bounds))}>
          ▸
        </button>
        <button type="button" aria-label="Nearer" onClick={() => choose(zoom(window, 0.5, bounds))}>
          +
        </button>
        <button type="button" aria-label="Further off" onClick={() => choose(zoom(window, 2, bounds))}>
          −
        </button>
        <button type="button" aria-pressed={follows} onClick={() => choose(latest(widthOf(window), bounds))}>
          Now
        </button>
      </span>
      <span class="typed">
        {ENDS.map(([end, label]) => (
          <span key={end} class="typed-end">
            <label for={`${id}-${end}`}>{label}</label>
            <ClockInput
              {...{ id: `${id}-${end}`, kind: 'moment', label }}
              value={toField(window[end], timezone)}
              onValue={(text) => typed(end, text)}
            />
          </span>
        ))}
        <span class="zone-name">{timezone}</span>
      </span>
    </div>
  );
}

function isShown(ms: number, window: TimeWindow, bounds: TimeBounds): boolean {
  const wanted = Math.min(ms, widthOf(bounds));
  return Math.abs(widthOf(window) / wanted - 1) < NEAR && (Number.isFinite(ms) || widthOf(bounds) <= widthOf(window) * (1 + NEAR));
}
